// Sets the light that the reader chose before anything is drawn; loaded ahead of the page.

const kept = localStorage.getItem("giornata.light");
if (kept === "light" || kept === "dark" || kept === "night") {
  document.documentElement.dataset["light"] = kept;
}

document.addEventListener("DOMContentLoaded", () => {
  const chooser = document.getElementById("theme");
  if (!(chooser instanceof HTMLSelectElement)) return;
  chooser.value = document.documentElement.dataset["light"] ?? "system";
  chooser.addEventListener("change", () => {
    if (chooser.value === "system") {
      localStorage.removeItem("giornata.light");
      delete document.documentElement.dataset["light"];
    } else {
      localStorage.setItem("giornata.light", chooser.value);
      document.documentElement.dataset["light"] = chooser.value;
    }
    document.dispatchEvent(new Event("giornata:light"));
  });
});
