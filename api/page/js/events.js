// Server-sent events read with fetch, so that an access key can go along.

import { credentials, eventsAddress, Refusal } from "./service.js";

const PAUSE_MS = 1000;
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** Fields of one event of a stream (HTML standard, 9.2.6). */
export function readEvent(block) {
  const event = { id: "", event: "message", data: [] };
  for (const line of block.split("\n")) {
    const match = /^(id|event|data):\s?(.*)$/.exec(line);
    if (!match) continue;
    if (match[1] === "data") event.data.push(match[2]);
    else event[match[1]] = match[2];
  }
  return { ...event, data: event.data.join("\n") };
}

async function read(response, take) {
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    const blocks = (rest + value).split("\n\n");
    rest = blocks.pop();
    blocks.map(readEvent).filter((event) => event.data).forEach(take);
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
