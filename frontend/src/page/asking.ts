// Asking the program: how far the job is, its drawing, a piece of a page.

export interface JobState {
  readonly state: "deriving" | "halted" | "faulty" | "ready";
  readonly version: string;
  readonly step: string;
  readonly done: number;
  readonly of: number;
}

/** How far the job is; null where nobody answers. */
export async function askState(): Promise<JobState | null> {
  try {
    const answer = await fetch("/api/state");
    return answer.ok ? ((await answer.json()) as JobState) : null;
  } catch {
    return null;
  }
}

/** A record of the job; throws where there is none. */
export async function askRecord<T>(address: string): Promise<T> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  return (await answer.json()) as T;
}

/** A page or a piece of one, as a document. */
export async function askPage(address: string): Promise<Document> {
  const answer = await fetch(address);
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}
