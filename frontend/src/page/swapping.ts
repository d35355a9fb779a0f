// Swapping: another option or colourway changes the figures of the page, not the page.

import { askPage } from "./asking.ts";

export interface Shown {
  readonly option: string;
  readonly colourway: string;
}

/** Whether the lists of findings stand open, by their severity. */
function openGroups(): Map<string, boolean> {
  const groups = document.querySelectorAll<HTMLDetailsElement>("details[data-keep]");
  return new Map([...groups].map((one) => [one.dataset["keep"] ?? "", one.open]));
}

let asked = 0;

/** Show another page's content in this one; null where yet another was asked for meanwhile. */
async function swap(address: string): Promise<Shown | null> {
  const mine = (asked += 1);
  const fresh = await askPage(address);
  if (mine !== asked) return null;
  const main = fresh.querySelector<HTMLElement>("main[data-option]");
  if (main === null) {
    location.assign(address); // the job is being worked out again, or is faulty
    throw new Error("another page");
  }
  const open = openGroups();
  const focus = document.activeElement?.getAttribute("href") ?? null;
  for (const old of document.querySelectorAll<HTMLElement>("[data-swap]")) {
    const name = old.dataset["swap"] ?? "";
    const made = fresh.querySelector<HTMLElement>(`[data-swap="${name}"]`);
    if (made !== null) old.replaceWith(document.adoptNode(made));
  }
  for (const one of document.querySelectorAll<HTMLDetailsElement>("details[data-keep]")) {
    one.open = open.get(one.dataset["keep"] ?? "") ?? one.open;
  }
  if (focus !== null) {
    const again = document.querySelectorAll<HTMLElement>("a[data-show]");
    [...again].find((link) => link.getAttribute("href") === focus)?.focus();
  }
  for (const link of document.querySelectorAll<HTMLAnchorElement>('[aria-label="Units"] a')) {
    const made = fresh.querySelectorAll<HTMLAnchorElement>('[aria-label="Units"] a');
    const same = [...made].find((one) => one.textContent === link.textContent);
    if (same !== undefined) link.href = same.getAttribute("href") ?? link.href;
  }
  return { option: main.dataset["option"] ?? "", colourway: main.dataset["colourway"] ?? "" };
}

/** Follow links to another option or colourway without leaving the page. */
export function letChoicesSwap(changed: (shown: Shown) => void): void {
  const show = async (address: string): Promise<void> => {
    const shown = await swap(address);
    if (shown !== null) changed(shown);
  };
  document.addEventListener("click", (event) => {
    const link = (event.target as Element).closest<HTMLAnchorElement>("a[data-show]");
    if (link === null || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const address = link.getAttribute("href") ?? "/";
    history.pushState(null, "", address);
    void show(address);
  });
  window.addEventListener("popstate", () => void show(location.pathname + location.search));
}
