// Inks: the colours of the page that drawings use, as its style sheet has them just now.

export interface Inks {
  readonly ink: string;
  readonly grey: string;
  readonly line: string;
  readonly paper: string;
  readonly surround: string;
  readonly accent: string;
  readonly warning: string;
  readonly night: boolean;
}

export function inksOf(page: Element = document.documentElement): Inks {
  const style = getComputedStyle(page);
  const ink = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: ink("ink"),
    grey: ink("grey"),
    line: ink("line"),
    paper: ink("paper"),
    surround: ink("surround"),
    accent: ink("accent"),
    warning: ink("warning"),
    night: page.getAttribute("data-light") === "night",
  };
}
