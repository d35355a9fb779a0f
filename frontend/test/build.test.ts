import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { promisify } from "node:util";

const frontend = join(import.meta.dirname, "..");

test("each page script is bundled, with the licences of what it carries", async () => {
  const folder = await mkdtemp(join(tmpdir(), "bundle-"));
  try {
    await promisify(execFile)(process.execPath, [join(frontend, "build.mjs"), folder]);
    const built = await readdir(folder);
    const sources = (await readdir(join(frontend, "src"))).filter((name) => name.endsWith(".ts"));
    assert.notEqual(sources.length, 0);
    for (const name of sources) assert.ok(built.includes(name.replace(/\.ts$/, ".js")), name);
    const licences = await readFile(join(folder, "LICENSES.txt"), "utf8");
    assert.match(licences, /^ol \d+\.\d+\.\d+ \(BSD-2-Clause\)$/m);
    assert.match(licences, /Redistributions in binary form must reproduce/);
  } finally {
    await rm(folder, { recursive: true });
  }
});
