// The jobs kept on this machine: opened, duplicated, deleted, with notes.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { changed } from "./brief-check.js";
import { fold } from "./fields.js";
import { deleteJob, duplicateJob, newJob, note, openJob } from "./jobs.js";
import { announce, notify, state } from "./store.js";

/** The list of jobs and the notes of the one that is open. */
export function jobsView() {
  const { jobs, job } = state;
  const others = jobs.filter((one) => one.id !== job.id);
  return fold("jobs", false, html`Jobs on this machine (${jobs.length})`, html`
    <div class="jobs">
      ${jobs.length ? html`<ul>${jobs.map((one) => row(one, one.id === job.id))}</ul>` : html`<p class="hint">None yet: what you type is kept.</p>`}
      <p class="adds"><button type="button" class="plain" @click=${begin}>New job</button></p>
      <div class="field wide"><label for="job-notes">Notes on this job</label>
        <textarea id="job-notes" rows="3" maxlength="4000" .value=${live(job.notes ?? "")}
          @input=${(event) => note(event.target.value)}></textarea>
        <p class="hint">For you alone; kept on this machine${others.length ? ", like the other jobs" : ""}.</p></div>
    </div>`);
}

function row(one, here) {
  const name = html`<span class="unseen"> ${one.name}</span>`;
  return html`<li><span><b>${one.name}</b>${here ? " (open)" : ""}
      <small>${new Date(one.changed).toLocaleString()}${one.notes ? `, ${firstWords(one.notes)}` : ""}</small></span>
    <span class="adds">
      ${here ? nothing : html`<button type="button" class="plain" @click=${() => open(one)}>Open${name}</button>`}
      <button type="button" class="plain" @click=${() => copy(one)}>Duplicate${name}</button>
      <button type="button" class="plain" @click=${() => drop(one)}>Delete${name}</button></span></li>`;
}

const MOST_LETTERS = 60;
const firstWords = (text) => (text.length > MOST_LETTERS ? `${text.slice(0, MOST_LETTERS)}…` : text);

function begin() {
  newJob();
  announce("A new job.");
  changed();
}

async function open(one) {
  if (await openJob(one.id)) {
    announce(`${one.name} opened.`);
    changed();
  } else {
    notify(`${one.name} is open in another tab.`, { name: "Open a copy", run: () => copy(one) });
  }
}

function copy(one) {
  duplicateJob(one.id);
  announce(`A copy of ${one.name}.`);
  changed();
}

function drop(one) {
  const back = deleteJob(one.id);
  changed();
  notify(`${one.name} is deleted.`, { name: "Undo", run: () => { back(); changed(); } });
}
