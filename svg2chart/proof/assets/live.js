// The live side of the page: what the server tells, and what it is asked for. All addresses are the page's own.

export const ENDED = "No answer: the proof has been ended. Start it again.";

// Returns what is answered, `value` being null where nobody answers any more.
export async function fetchJson(address, sent = null) {
  const asked = sent && {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(sent),
  };
  try {
    const answer = await fetch(address, asked ?? {});
    return { isDone: answer.ok, value: await answer.json() };
  } catch {
    return { isDone: false, value: null };
  }
}

// Calls `onNews` with each piece of news: revision, trouble, and whether a chart is being made.
export function listenToNews(onNews, onSilence) {
  const news = new EventSource("news");
  news.addEventListener("message", (event) => onNews(JSON.parse(event.data)));
  news.addEventListener("error", onSilence);
}
