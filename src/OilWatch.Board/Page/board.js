"use strict";
(() => {
  const lostAfter = 3500, reopenAfter = 8000, remindAfter = 30000;
  const part = id => document.getElementById(id);
  const shown = { about: null, engine: null, alerts: null, laps: null, notices: null };
  const cards = new Map();
  let source = null, opened = 0, heard = performance.now(), heardAt = null, link = "connecting", reopening = 0, first = true, reminded = 0, audio = null;

  // A number and its unit stay on one line.
  const tied = words => words.replace(/(\d) (?=(?:%|s|g|kPa|psi|°C|°F|rpm)(?![\w/]))/g, "$1\u00a0");

  // Everything from the log goes in as text, never as markup.
  function text(element, value) {
    const words = tied(value ?? "");
    if (element.textContent !== words) element.textContent = words;
  }

  function make(name, className, words) {
    const element = document.createElement(name);
    if (className) element.className = className;
    if (words !== undefined) element.textContent = tied(words);
    return element;
  }

  function sign(severity) {
    const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg"), use = document.createElementNS("http://www.w3.org/2000/svg", "use");
    svg.setAttribute("class", "sign");
    svg.setAttribute("aria-hidden", "true");
    use.setAttribute("href", "#sign-" + severity);
    svg.append(use);
    return svg;
  }

  const clock = at => [at.getHours(), at.getMinutes(), at.getSeconds()].map(number => String(number).padStart(2, "0")).join(":");
  const whole = seconds => seconds < 120 ? `${Math.floor(seconds)} s` : `${Math.floor(seconds / 60)} min`;

  // What the page hears

  function open() {
    if (link === "final") return;
    source?.close();
    opened = performance.now();
    source = new EventSource("events");
    source.onmessage = event => hear(JSON.parse(event.data));
    source.onerror = () => {
      if (source.readyState === EventSource.CLOSED && !reopening) reopening = setTimeout(reopen, 2000);
    };
  }

  async function reopen() {
    reopening = 0;
    try {
      const reply = await fetch("sign-in");
      if (reply.ok && await reply.json() === false) { location.reload(); return; }
    } catch {
      // Nobody is there; opening will say so again.
    }
    open();
  }

  function hear(news) {
    heard = performance.now();
    heardAt = new Date();
    for (const name of Object.keys(shown)) if (news[name]) shown[name] = news[name];
    if (shown.engine?.state === "over") {
      link = "final";
      source.close();
    } else {
      link = "live";
    }
    if (news.about) showAbout();
    if (news.alerts) showAlerts();
    if (news.laps) showLaps();
    if (news.notices) showNotices();
    if (news.engine) showFacts();
    showState();
    first = false;
  }

  function look() {
    const age = performance.now() - heard;
    const before = link;
    if (link !== "final") {
      if (age > lostAfter) link = "lost";
      if (link === "lost" && performance.now() - opened > reopenAfter && !reopening) open();
    }
    if (link === "lost" && before !== "lost") beep([220], 0.6);
    if (link === "lost" || before !== link) showState();
    remind();
  }

  // What it shows

  function showAbout() {
    text(part("car"), shown.about.car ?? "Pit board");
    text(part("source"), shown.about.source);
  }

  function showState() {
    const engine = shown.engine, silence = (performance.now() - heard) / 1000;
    let state = engine?.state ?? "waiting", word = engine?.word ?? "WAITING", sentence = engine?.sentence ?? "Connecting to the watch.", stale = "";
    if (link === "lost") {
      stale = `Nothing heard from the watch for ${whole(silence)}`;
      sentence = engine ? `This page hears nothing from the watch. Last known: ${word}.` : "This page hears nothing from the watch.";
      state = "lost";
      word = "NO LINK";
    } else if (engine?.silent) {
      stale = `Nothing heard of the engine for ${whole(engine.silent_s)}`;
    }
    document.documentElement.dataset.state = state;
    const said = link === "live" && engine?.silent ? "quiet" : link;
    document.documentElement.dataset.link = said;
    part("shape").setAttribute("href", "#shape-" + (state === "blind" ? "unknown" : state));
    text(part("word"), word);
    text(part("sentence"), sentence);
    text(part("stale"), stale);
    part("stale").hidden = !stale;
    text(part("lap"), engine?.lap != null ? `Lap ${engine.lap}` : "");
    text(part("clock"), engine?.clock ? `log time ${engine.clock}` : "");
    const past = link === "lost" || link === "final" || engine?.silent;
    text(part("known"), !engine ? "" : link === "final" ? "As it was when the watch ended" : past && heardAt ? `Last known, at ${clock(new Date(heardAt - engine.silent_s * 1000))}` : "");
    part("known").hidden = !part("known").textContent;
    text(part("link-word"), { live: "live", quiet: "no data", lost: "no link", final: "over", connecting: "connecting" }[said]);
    document.title = `${word} – ${shown.about?.car ?? "Pit board"}`;
    if (shown.alerts) text(part("none"), past ? "No alert stood when this was last known." : "No alert stands.");
  }

  function showFacts() {
    const list = part("facts"), facts = shown.engine.facts;
    while (list.children.length > facts.length) list.lastElementChild.remove();
    while (list.children.length < facts.length) {
      const box = make("div"), value = make("dd");
      value.append(make("b"), " ", make("span", "unit"), make("span", "note"));
      box.append(make("dt"), value);
      list.append(box);
    }
    facts.forEach((fact, i) => {
      const [name, value] = list.children[i].children, [number, unit, note] = value.children;
      text(name, fact.name);
      text(number, fact.value || "–");
      text(unit, fact.value ? fact.unit : "");
      text(note, fact.note);
      value.className = fact.value ? "" : "absent";
    });
    const notes = part("notes");
    if (notes.textContent !== shown.engine.notes.join("")) notes.replaceChildren(...shown.engine.notes.map(note => make("li", "", note)));
    notes.hidden = !shown.engine.notes.length;
  }

  function showAlerts() {
    const list = part("cards"), alerts = shown.alerts.cards, calls = [];
    const focused = document.activeElement?.closest?.(".card")?.dataset.id;
    let loudest = "";
    for (const alert of alerts) {
      let card = cards.get(alert.id);
      const said = card?.seen;
      if (!card) cards.set(alert.id, card = makeCard(alert.id));
      if (said !== alert.seen && !alert.acknowledged && !first) {
        calls.push(`${alert.severity}: ${alert.what}${alert.where ? ", " + alert.where : ""}. ${alert.message}`);
        if (alert.severity === "warning" || (alert.severity === "caution" && loudest !== "warning")) loudest = alert.severity;
      }
      fill(card, alert);
    }
    for (const [id, card] of cards) {
      if (alerts.some(alert => alert.id === id)) continue;
      card.element.remove();
      cards.delete(id);
    }
    alerts.forEach((alert, i) => {
      const element = cards.get(alert.id).element;
      if (list.children[i] !== element) list.insertBefore(element, list.children[i] ?? null);
    });
    const open = alerts.filter(alert => !alert.acknowledged).length;
    const all = part("all"), heldAll = document.activeElement === all;
    text(all, `Acknowledge all ${open}`);
    all.hidden = open < 2;
    part("none").hidden = alerts.length > 0;
    const more = shown.alerts.standing - alerts.length;
    text(part("more"), more > 0 ? `${more} more stand; the gravest are shown.` : "");
    part("more").hidden = more <= 0;
    // Whoever acknowledges with the keyboard goes on to the next.
    if ((focused && !cards.get(Number(focused))?.button.isConnected) || (heldAll && all.hidden) || (focused && cards.get(Number(focused))?.button.hidden)) {
      (list.querySelector(".card button:not([hidden])") ?? part("alerts-title")).focus();
    }
    if (calls.length) text(part("call"), calls.join(" "));
    if (loudest) {
      reminded = performance.now();
      ring(loudest);
    }
  }

  function makeCard(id) {
    const element = make("li", "card"), button = make("button", "", "Acknowledge");
    element.dataset.id = id;
    const card = {
      element, button, seen: null, severity: make("span", "severity"), what: make("span", "what"), when: make("p", "when"), message: make("p", "message"),
      figures: make("ul", "figures"), status: make("p", "status"), hints: make("p", "hints"),
    };
    button.type = "button";
    button.addEventListener("click", () => acknowledge([card.seen]));
    const title = make("h3");
    title.append(card.severity, " ", card.what);
    const foot = make("div", "foot");
    foot.append(card.status, button);
    element.append(title, card.when, card.message, card.figures, card.hints, foot);
    return card;
  }

  function fill(card, alert) {
    card.element.dataset.severity = alert.severity;
    card.element.dataset.over = alert.over;
    card.element.dataset.acknowledged = alert.acknowledged;
    if (card.word !== alert.severity) {
      card.word = alert.severity;
      card.severity.replaceChildren(sign(alert.severity), alert.severity);
    }
    card.seen = alert.seen;
    text(card.what, alert.what);
    text(card.when, [alert.where, alert.at, alert.times > 1 ? `${alert.times} times` : ""].filter(words => words).join(" · "));
    text(card.message, alert.message);
    if (card.figures.dataset.all !== alert.figures.join("|")) {
      card.figures.dataset.all = alert.figures.join("|");
      card.figures.replaceChildren(...alert.figures.map(figure => make("li", "", figure)));
    }
    card.figures.hidden = !alert.figures.length;
    text(card.hints, [alert.reading ? `Likely: ${alert.reading}.` : "", alert.inspect ? `Look at: ${alert.inspect}.` : ""].filter(words => words).join(" "));
    card.hints.hidden = !card.hints.textContent;
    text(card.status, alert.status + (alert.acknowledged ? "; acknowledged" : ""));
    card.button.hidden = alert.acknowledged;
    card.button.setAttribute("aria-label", `Acknowledge ${alert.severity}, ${alert.what}${alert.where ? ", " + alert.where : ""}`);
  }

  function showLaps() {
    const rows = shown.laps.rows;
    part("rows").replaceChildren(...rows.map(lap => {
      const row = make("tr", lap.harmed ? "harmed" : ""), number = make("th", "", String(lap.lap)), lowest = make("td");
      number.scope = "row";
      if (lap.kind) number.append(" ", make("span", "kind", lap.kind));
      lowest.append(make("b", "", lap.lowest), " ", make("span", "kpa", lap.pressure));
      row.append(number, make("td", "", lap.time), lowest, make("td", "", lap.starved), make("td", "spare", lap.hottest));
      return row;
    }));
    part("laps").hidden = !rows.length;
    part("no-laps").hidden = rows.length > 0;
  }

  function showNotices() {
    const rows = shown.notices.rows;
    part("said").replaceChildren(...rows.map(notice => {
      const item = make("li"), words = make("span", "", notice.text);
      item.append(make("span", "time", notice.clock), " ");
      if (notice.severity) {
        const mark = make("span", "severity " + notice.severity);
        mark.append(sign(notice.severity), notice.severity);
        item.append(mark, " ");
      }
      item.append(words);
      return item;
    }));
    part("notices").hidden = !rows.length;
  }

  // What somebody does

  async function acknowledge(seen) {
    const answer = part("answer");
    text(answer, "");
    try {
      const reply = await fetch("acknowledge", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(seen) });
      if (!reply.ok) throw new Error();
      const { changed } = await reply.json();
      say(changed ? "It became graver or came again while you looked: look again." : "Acknowledged.", changed > 0);
    } catch {
      say("Not acknowledged: the watch cannot be reached.", true);
    }
  }

  function say(words, visible) {
    const answer = part("answer");
    answer.className = visible ? "toast" : "unseen";
    text(answer, words);
    if (visible) setTimeout(() => { if (answer.textContent === words) answer.className = "unseen"; }, 8000);
  }

  part("all").addEventListener("click", () => acknowledge(shown.alerts.cards.filter(alert => !alert.acknowledged).map(alert => alert.seen)));

  // Sound, only for whoever turns it on

  part("sound").addEventListener("click", () => {
    if (audio) {
      audio.close();
      audio = null;
    } else {
      audio = new AudioContext();
      beep([660], 0.1);
    }
    part("sound").setAttribute("aria-pressed", String(audio !== null));
  });

  function ring(severity) {
    beep(severity === "warning" ? [880, 880, 880] : [660, 660], 0.16);
  }

  function beep(tones, length) {
    if (!audio) return;
    tones.forEach((tone, i) => {
      const at = audio.currentTime + i * length * 1.6, oscillator = audio.createOscillator(), gain = audio.createGain();
      oscillator.type = "square";
      oscillator.frequency.value = tone;
      gain.gain.setValueAtTime(0.25, at);
      gain.gain.setValueAtTime(0, at + length);
      oscillator.connect(gain).connect(audio.destination);
      oscillator.start(at);
      oscillator.stop(at + length + 0.05);
    });
  }

  function remind() {
    if (!audio || performance.now() - reminded < remindAfter) return;
    const open = shown.alerts?.cards.filter(alert => !alert.acknowledged && alert.severity !== "advisory") ?? [];
    if (!open.length && link !== "lost") return;
    reminded = performance.now();
    if (open.length) ring(open[0].severity);
    else beep([220], 0.6);
  }

  // Light for the sun, dark for the night: the device's choice until somebody chooses

  const dark = matchMedia("(prefers-color-scheme: dark)");
  function keep(value) { try { localStorage.setItem("look", value); } catch { /* then it is not kept */ } }
  function kept() { try { return localStorage.getItem("look"); } catch { return null; } }
  function isDark() { return document.documentElement.dataset.look ? document.documentElement.dataset.look === "dark" : dark.matches; }
  function showLook() { part("look").setAttribute("aria-pressed", String(isDark())); }
  if (kept() === "dark" || kept() === "light") document.documentElement.dataset.look = kept();
  part("look").addEventListener("click", () => {
    document.documentElement.dataset.look = isDark() ? "light" : "dark";
    keep(document.documentElement.dataset.look);
    showLook();
  });
  dark.addEventListener("change", showLook);
  showLook();

  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    look();
    if (link !== "final" && performance.now() - heard > lostAfter) open();
  });
  history.replaceState(null, "", location.pathname);
  setInterval(look, 500);
  open();
})();
