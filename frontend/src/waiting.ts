// The page that waits: asks how far the job is, and shows it once it is worked out or mended.

import { askState } from "./page/asking.ts";

const main = document.getElementById("waiting");
const bar = document.getElementById("done");
const step = document.getElementById("step");
const began = main?.dataset["state"] ?? "";

async function look(): Promise<void> {
  const now = await askState();
  if (now === null) {
    if (step !== null) step.textContent = "giornata does not answer; is it still running?";
    return;
  }
  if (now.state !== began) {
    location.reload();
    return;
  }
  if (bar instanceof HTMLProgressElement && step !== null) {
    bar.max = Math.max(now.of, 1);
    bar.value = now.done;
    step.textContent = now.of === 0 ? "reading the files" : `${now.step} (${now.done} of ${now.of})`;
  }
}

if (began === "deriving" || began === "faulty") {
  setInterval(() => void look(), began === "deriving" ? 300 : 1500);
}
