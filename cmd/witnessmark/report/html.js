"use strict";
(() => {
const form = document.getElementById("filter");
const shown = document.getElementById("shown");
const jobs = [...document.querySelectorAll("article.job")];
const rows = new Map([...document.querySelectorAll("tr[data-job]")].map(r => [r.dataset.job, r]));
const plural = (n, one, many) => n + " " + (n === 1 ? one : many);

// What a job has of outcome and topic together: "outside:place".
const has = (job, outcome, topic) => (job.dataset.has + (job.querySelector("[data-values]") ? " " + job.dataset.held : "")).split(" ").some(x => {
  const [k, t] = x.split(":");
  return (!outcome || k === outcome) && (!topic || t === topic);
});
const itemFits = (item, f, whole) =>
  (!f.outcome || item.dataset.o === f.outcome) && (!f.topic || item.dataset.t === f.topic) &&
  (!f.text || whole || item.textContent.toLowerCase().includes(f.text));

const apply = () => {
  const f = Object.fromEntries(["outcome", "topic", "stage", "gate", "text"].map(n => [n, form.elements[n].value.trim().toLowerCase()]));
  const within = f.outcome || f.topic || f.text;
  let n = 0, items = 0, unsought = 0;
  for (const job of jobs) {
    const head = job.querySelector("h2").textContent + " " + (job.querySelector(".file") || {}).textContent;
    const whole = f.text !== "" && head.toLowerCase().includes(f.text);
    let fits = (!f.stage || job.dataset.stage === f.stage) && (!f.gate || job.dataset.gates.split(" ").includes(f.gate));
    let found = 0;
    if (fits) {
      for (const item of job.querySelectorAll(".item")) {
        const ok = !within || itemFits(item, f, whole);
        item.hidden = !ok;
        if (ok) found++;
      }
      for (const topic of job.querySelectorAll("details.topic:not(.packed)"))
        topic.hidden = within && !topic.querySelector(".item:not([hidden])");
      // Packed values are not searched for text, but it is known what there is of them.
      const packed = job.querySelector("details.packed:not([data-done])");
      const sealed = packed && (f.outcome || f.topic) && !f.text && has(job, f.outcome, f.topic);
      if (packed && f.text && !whole) unsought++;
      if (within && !found && !sealed && !(whole && !f.outcome && !f.topic)) fits = false;
    }
    job.hidden = !fits;
    const row = rows.get(job.id);
    if (row) row.hidden = !fits;
    if (fits) { n++; items += found; }
  }
  const any = within || f.stage || f.gate;
  shown.textContent = any ? plural(n, "job", "jobs") + " of " + jobs.length + " shown" + (within ? ", " + plural(items, "entry", "entries") : "") + "." : "";
  if (unsought) shown.textContent += " Words were not sought in " + plural(unsought, "job that is", "jobs that are") + " still packed.";
};

// A large report is packed: blocks of several jobs, deflated and in base64. Lines that
// come as the last time are only counted; one that the block has already goes by its
// number. html_keep.go says more.
const inflate = async name => {
  const text = atob(document.getElementById(name).textContent);
  const bytes = Uint8Array.from(text, c => c.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const lines = [], after = new Map(), next = new Map(), parts = [];
  for (const part of (await new Response(stream).text()).split("\0").slice(0, -1)) {
    const numbers = [];
    let place = "", last = -1;
    const take = (n, expected) => {
      numbers.push(n);
      after.set(place, n);
      next.set(last, n);
      place = expected ? String(n) : (place.match(/\*/g) || []).length === 4 ? "*" : place + "*";
      last = n;
    };
    for (const line of part === "" ? [] : part.replace(/\n$/, "").split("\n")) {
      const mark = line[0], n = Number(line.slice(1));
      if (mark === "\x02") for (let i = n; i > 0; i--) take(after.get(place), true);
      else if (mark === "\x04") for (let i = n; i > 0; i--) take(next.get(last), true);
      else if (mark === "\x03") take(n, false);
      else take(lines.push(line) - 1, false);
    }
    parts.push(numbers);
  }
  return i => parts[i].map(n => lines[n]).join("\n");
};
const blocks = new Map();
const part = async (kind, place) => {
  const [n, i] = place.split("/");
  const name = kind + "-" + n;
  if (!blocks.has(name)) blocks.set(name, inflate(name));
  return (await blocks.get(name))(i);
};
const fill = async details => {
  if (details.dataset.done) return;
  details.dataset.done = "1";
  const note = details.querySelector(".left");
  try {
    const holder = document.createElement("template");
    const text = await part("findings", details.dataset.findings) +
      (details.dataset.values ? '<h3 class="values">Every value</h3>' + await part("values", details.dataset.values) : "");
    holder.innerHTML = text.replaceAll("\x01", details.closest("article").id);
    note.replaceWith(holder.content);
    apply();
  } catch (problem) {
    delete details.dataset.done;
    note.textContent = "This could not be unpacked by this browser (" + problem + "). That it is not shown says nothing about the job; judge fewer job files at once, and the report is not packed.";
  }
};
document.addEventListener("toggle", e => { if (e.target.matches && e.target.matches("details.packed") && e.target.open) fill(e.target); }, true);

// A link to a folded limit unfolds it.
const unfold = () => {
  let at = location.hash && document.getElementById(location.hash.slice(1));
  for (; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
};
addEventListener("hashchange", unfold);

// Paper has nothing to unfold: what is to be printed is unfolded before.
let opened = [];
addEventListener("beforeprint", () => {
  const how = form.elements.print.value;
  document.body.dataset.print = how;
  const folds = {
    findings: ".about details, .finding .calculation",
    values: ".about details, .finding .calculation, details.topic:not(.idle)",
    all: "details",
  }[how];
  opened = [...document.querySelectorAll(folds)].filter(d => !d.open && !d.classList.contains("packed"));
  for (const d of opened) d.open = true;
});
addEventListener("afterprint", () => {
  for (const d of opened) d.open = false;
  opened = [];
});

form.addEventListener("submit", e => e.preventDefault());
form.addEventListener("input", apply);
form.addEventListener("reset", () => setTimeout(apply));
form.hidden = false;
apply();
unfold();
})();
