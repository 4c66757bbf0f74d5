// Server-sent events read with fetch, so that an access key can go along.

import { createParser } from "../vendor/eventsource-parser/eventsource-parser.js";
import { credentials, eventsAddress, Refusal } from "./service.js";

const PAUSE_MS = 1000;
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** Hand each event of a stream (HTML standard, 9.2.6) to `take` until it ends. */
async function read(response, take) {
  const parser = createParser({ onEvent: take });
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    parser.feed(value);
  }
}

/**
 * Follow a study to its end: `onEvent(kind, data)` for each event, `onBreak(broken)` when the line
 * breaks and when it is there again. After a break it goes on where it was.
 */
export async function follow(id, { onEvent, onBreak, signal }) {
  let last = "";
  let ended = false;
  const take = (event) => {
    last = event.id || last;
    ended = event.event === "end";
    onEvent(event.event, JSON.parse(event.data));
  };
  while (!ended && !signal.aborted) {
    try {
      const headers = { ...credentials(), ...(last ? { "Last-Event-ID": last } : {}) };
      const response = await fetch(eventsAddress(id), { headers, signal });
      if (response.status === 404) throw new Refusal({ detail: "The study is gone." }, 404);
      if (response.ok) {
        onBreak(false);
        await read(response, take);
      } else {
        onBreak(true);
      }
    } catch (error) {
      if (signal.aborted || error instanceof Refusal) return;
      onBreak(true);
    }
    if (!ended) await pause(PAUSE_MS);
  }
}
