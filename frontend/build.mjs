// Bundles every src/*.ts into the Python package, with the licence of each package bundled.
//
//   node build.mjs [folder]        default: ../src/giornata/web/static/dist
//
// Files of src/ that other files of src/ import belong in a folder below it (src/wall/strip.ts):
// each file directly in src/ becomes a script that a page can link.

import { readdir, readFile, rm, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import esbuild from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const out = resolve(process.argv[2] ?? join(here, "../src/giornata/web/static/dist"));

const sources = (await readdir(join(here, "src"), { withFileTypes: true }))
  .filter((entry) => entry.isFile() && entry.name.endsWith(".ts") && !entry.name.endsWith(".d.ts"))
  .map((entry) => join(here, "src", entry.name))
  .sort();
if (sources.length === 0) throw new Error("frontend/src holds no script to bundle");

await rm(out, { recursive: true, force: true });
const built = await esbuild.build({
  absWorkingDir: here,
  entryPoints: sources,
  outdir: out,
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  charset: "utf8",
  legalComments: "none",
  metafile: true,
  logLevel: "warning",
});

/** The folder of the package that a bundled file comes from, or null for a file of ours. */
function packageFolder(input) {
  const parts = input.split("/");
  const at = parts.lastIndexOf("node_modules");
  if (at < 0) return null;
  const deep = parts[at + 1].startsWith("@") ? 3 : 2;
  return parts.slice(0, at + deep).join("/");
}

async function licence(folder) {
  const { name, version, license } = JSON.parse(
    await readFile(join(here, folder, "package.json"), "utf8"),
  );
  const file = (await readdir(join(here, folder)))
    .sort()
    .find((entry) => /^(licen[cs]e|copying)([.-]|$)/i.test(entry));
  if (file === undefined) throw new Error(`${name} ${version} is bundled but has no licence text`);
  const text = (await readFile(join(here, folder, file), "utf8")).trim();
  return `${name} ${version} (${license})\n\n${text}\n`;
}

const bundled = Object.values(built.metafile.outputs)
  .flatMap((output) => Object.entries(output.inputs))
  .filter(([, { bytesInOutput }]) => bytesInOutput > 0)
  .map(([input]) => packageFolder(input))
  .filter((folder) => folder !== null);
const texts = [];
for (const folder of [...new Set(bundled)].sort()) texts.push(await licence(folder));
const rule = `\n${"-".repeat(72)}\n\n`;
await writeFile(
  join(out, "LICENSES.txt"),
  texts.length === 0 ? "No package is bundled.\n" : texts.join(rule),
);
