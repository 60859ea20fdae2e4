// What a page does without being loaded again: follow a job's progress, send a form once, run a clock.
// Every page works without this file; then it is read again by hand.

/** Follow each job shown on the page; when the last one has ended, load the page again to show what it made. */
function followJobs() {
  const shown = [...document.querySelectorAll("[data-job]")];
  if (!shown.length) return;
  let wait = 700;
  const look = async () => {
    let open = 0;
    for (const box of shown) {
      let job;
      try {
        const answer = await fetch(box.dataset.job, { headers: { Accept: "application/json" } });
        if (!answer.ok) continue;
        job = await answer.json();
      } catch { // the network went; try again at the next turn
        open += 1;
        continue;
      }
      if (job.open) open += 1;
      box.querySelector("progress").value = job.progress;
      box.querySelector("[data-words]").textContent = job.message;
    }
    if (open) {
      wait = Math.min(wait * 1.3, 4000);
      setTimeout(look, wait);
    } else {
      location.reload();
    }
  };
  setTimeout(look, wait);
}

/** A form is sent once, however often its button is pressed. */
function sendOnce(event) {
  if (event.defaultPrevented) return;
  const form = event.target;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  addEventListener("pageshow", () => delete form.dataset.sent, { once: true });
}

/**
 * A page that is gone back to is the page that was sent: its forms keep their marks, so that pressing once more does
 * not do it once more. Browsers that fetch the page anew fill in what was typed, beside a new mark.
 */
function keepMarks() {
  const forms = [...document.querySelectorAll("input[name=submission]")].map((mark) => [mark.form.action, mark]);
  const goneBack = performance.getEntriesByType("navigation")[0]?.type === "back_forward";
  const kept = (goneBack && history.state?.marks) || {};
  for (const [action, mark] of forms) mark.value = kept[action] ?? mark.value;
  const marks = Object.fromEntries(forms.map(([action, mark]) => [action, mark.value]));
  history.replaceState({ ...history.state, marks }, "");
}

/** Ask before something that cannot be taken back. */
function askFirst(event) {
  const question = event.submitter?.dataset.ask ?? event.target.dataset.ask;
  if (question && !confirm(question)) event.preventDefault();
}

/** Run the clocks of tasks under way. */
function runClocks() {
  const clocks = [...document.querySelectorAll("[data-since]")];
  if (!clocks.length) return;
  const show = () => {
    for (const clock of clocks) {
      const seconds = Math.max(0, Math.floor((Date.now() - Date.parse(clock.dataset.since)) / 1000));
      const parts = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
      clock.textContent = parts.map((part) => String(part).padStart(2, "0")).join(":");
    }
  };
  show();
  setInterval(show, 1000);
}

/** Fields that belong to one choice are shown only while it is chosen: data-shown-by="field=value". */
function showFields() {
  for (const part of document.querySelectorAll("[data-shown-by]")) {
    const [name, value] = part.dataset.shownBy.split("=");
    const fields = [...document.getElementsByName(name)];
    const update = () => {
      const on = fields.some((f) => (f.type === "checkbox" ? f.checked && (value ?? "on") === "on"
        : f.type === "radio" ? f.checked && f.value === value : f.value === value));
      part.hidden = !on;
    };
    fields.forEach((f) => f.addEventListener("change", update));
    update();
  }
}

/** What stands under a field: its help and its faults. */
function under(field) {
  const found = field.querySelector(".under");
  if (found) return found;
  const made = document.createElement("div");
  made.className = "under";
  field.append(made);
  return made;
}

/** Grey the options that cannot go with what is chosen, and say why. */
function greyClashes(picker) {
  const list = picker.querySelector("#clashes");
  const clashes = list ? JSON.parse(list.textContent) : [];
  picker.querySelectorAll("[data-clash]").forEach((note) => note.remove());
  picker.querySelectorAll("[data-choices] option").forEach((option) => { option.disabled = false; });
  const field = (name) => picker.querySelector(`[name="${name}"]`);
  const grey = (name, values, otherName, others, reason) => {
    const [one, other] = [field(name), field(otherName)];
    if (!one || !other || !values.map(String).includes(one.value)) return;
    for (const option of other.options ?? []) {
      if (others.map(String).includes(option.value) && !option.selected) option.disabled = true;
    }
    const note = document.createElement("p");
    note.className = "help";
    note.dataset.clash = "";
    note.textContent = reason;
    under(other.closest(".field")).append(note);
  };
  for (const { field: name, values, other, others, reason } of clashes) {
    grey(name, values, other, others, reason);
    grey(other, others, name, values, reason);
  }
}

/** Ask only what makes a difference beside what is chosen; what is not asked is not sent. */
function askWhatMatters(picker) {
  for (const field of picker.querySelectorAll("[data-only-with]")) {
    const other = picker.querySelector(`[name="${field.dataset.onlyWith}"]`);
    field.disabled = Boolean(other) && !JSON.parse(field.dataset.values).includes(other.value);
    field.closest(".field").hidden = field.disabled;
  }
}

/** Show a style's choices and draw the garment again as they change. */
function pickStyle(picker) {
  const choices = picker.querySelector("[data-choices]");
  const drawn = picker.querySelector("[data-drawn]");
  const unfolded = new Map(); // what was opened or closed stays so when it is drawn again
  const roomy = matchMedia("(min-width: 56rem)"); // until then it is open where there is room
  let waiting;
  const latest = (box) => { // what is asked last is shown; the answer to an older wish is dropped
    let asked;
    return async (address, parameters) => {
      asked?.abort();
      box.removeAttribute("aria-busy");
      if (!address) return; // what is shown is what is wished for
      asked = new AbortController();
      box.setAttribute("aria-busy", "true");
      try {
        const answer = await fetch(`${address}?${parameters}`, { signal: asked.signal });
        if (answer.ok) {
          const text = await answer.text();
          for (const fold of box.querySelectorAll("[data-fold]")) unfolded.set(fold.dataset.fold, fold.open);
          box.innerHTML = text;
          for (const fold of box.querySelectorAll("[data-fold]")) fold.open = unfolded.get(fold.dataset.fold) ?? roomy.matches;
        }
      } catch (fault) {
        if (fault.name === "AbortError") return;
      }
      box.removeAttribute("aria-busy");
    };
  };
  const showChoices = latest(choices);
  const showDrawing = latest(drawn);
  const draw = () => {
    const named = [...picker.querySelectorAll("[name]:enabled")].filter((f) => f.type !== "checkbox" || f.checked);
    showDrawing(picker.dataset.drawnUrl, new URLSearchParams(named.map((f) => [f.name, f.value])));
  };
  const style = picker.querySelector("[name=style]");
  const shown = () => choices.querySelector("[data-style]").dataset.style;
  const showItsChoices = async () => {
    if (style.value === shown()) return showChoices(); // what was written there stays
    await showChoices(picker.dataset.choicesUrl, new URLSearchParams({ style: style.value }));
    askWhatMatters(picker);
    greyClashes(picker);
  };
  const change = (event) => {
    askWhatMatters(picker);
    greyClashes(picker);
    clearTimeout(waiting);
    if (event.target.type === "text") waiting = setTimeout(draw, 400); // a number half typed is no fault yet
    else draw();
    if (event.target === style) showItsChoices(); // it is drawn as it comes, meanwhile
  };
  picker.addEventListener("input", change);
  askWhatMatters(picker);
  greyClashes(picker);
  draw();
  addEventListener("pageshow", () => { // gone back to, the style is filled in as it was, beside the choices of the first
    if (style.value === shown()) return;
    showItsChoices();
    draw();
  });
}

/** Long parts are folded on a phone, where they would hide what comes after them; a link to one unfolds it. */
function foldLong() {
  const parts = [...document.querySelectorAll("[data-long]")];
  const narrow = matchMedia("(max-width: 40rem)").matches;
  const unfold = () => {
    const target = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
    for (const part of parts) if (target && (target.contains(part) || part.contains(target))) part.open = true;
  };
  if (narrow) for (const part of parts) part.open = Boolean(part.querySelector(".with-fault"));
  unfold();
  addEventListener("hashchange", unfold);
}

/** A form that came back refused is shown at its first fault, which may lie below the fold of a phone. */
function goToFault() {
  document.querySelector(".with-fault :is(input, select, textarea):not([type=hidden])")?.focus();
}

document.addEventListener("submit", askFirst);
document.addEventListener("submit", sendOnce);
keepMarks();
followJobs();
runClocks();
showFields();
foldLong();
goToFault();
document.querySelectorAll(".picker").forEach(pickStyle);
