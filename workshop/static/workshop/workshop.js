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

document.addEventListener("submit", askFirst);
document.addEventListener("submit", sendOnce);
followJobs();
runClocks();
showFields();
