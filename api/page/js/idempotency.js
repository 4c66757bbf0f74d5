// One press is one request, however often it has to be sent: its idempotency key is kept until the
// service has answered, across a broken line and a reload.

const KEPT_AT = "closet-press-";

const newKey = () => crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}`;

function kept(purpose) {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT_AT + purpose));
  } catch {
    return null;
  }
}

function keep(purpose, press) {
  try {
    if (press) sessionStorage.setItem(KEPT_AT + purpose, JSON.stringify(press));
    else sessionStorage.removeItem(KEPT_AT + purpose);
  } catch {
    // Without a store a press is remembered by nobody: sent again, it is a new one.
  }
}

/** Whether a refusal is an answer; without one, nobody knows whether the request arrived. */
const isAnswer = ({ status }) => status >= 400 && status < 500 && status !== 408 && status !== 429;

/** Send `body` by `send(key)`; the same body sent again before an answer has the same key. */
export async function pressed(purpose, body, send) {
  const text = JSON.stringify(body);
  const before = kept(purpose);
  const key = before?.text === text ? before.key : newKey();
  keep(purpose, { text, key });
  try {
    const answer = await send(key);
    keep(purpose, null);
    return answer;
  } catch (error) {
    if (isAnswer(error)) keep(purpose, null);
    throw error;
  }
}
