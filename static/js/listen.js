// Two to four recordings in step: all run at once on one clock, and one of them is heard.
// Without this the page still has a player for each.
"use strict";

(() => {
  const root = document.querySelector("[data-listen]");
  if (!root || !window.AudioContext) return;
  const find = (name) => root.querySelector(`[${name}]`);
  const play = find("data-play"), place = find("data-place"), time = find("data-time"), even = find("data-even");
  const FADE_S = 0.012; // no click, and no gap to be heard
  const pianos = [...root.querySelectorAll("[data-sound]")].map((row) => ({
    row,
    url: row.dataset.sound,
    gain: 10 ** (-Number(row.dataset.down) / 20),
    begins: Number(row.dataset.begins),
    lasts: Number(row.dataset.lasts),
    button: row.querySelector("[data-choose]"),
  }));
  const longest = Math.max(...pianos.map((piano) => piano.lasts));
  let context, ready, chosen = 0, startedAt = null, from = 0;

  const say = (text) => { find("data-said").textContent = text; };
  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
  const here = () => (startedAt === null ? from : Math.min(longest, from + Math.max(0, context.currentTime - startedAt)));
  const level = (number) => (number === chosen ? (even.checked ? pianos[number].gain : 1) : 0);

  function show() {
    place.value = here();
    time.textContent = `${clock(here())} of ${clock(longest)}`;
    place.setAttribute("aria-valuetext", time.textContent);
    play.textContent = startedAt === null ? "Play" : "Pause";
  }

  async function fetched(piano) {
    const answer = await fetch(piano.url);
    if (!answer.ok) throw new Error(piano.url);
    piano.sound = await context.decodeAudioData(await answer.arrayBuffer());
    piano.level = context.createGain();
    piano.level.gain.value = 0;
    piano.level.connect(context.destination);
  }

  async function prepared() {
    context ||= new AudioContext();
    await context.resume();
    ready ||= Promise.all(pianos.map(fetched));
    await ready;
  }

  function levels() {
    if (!context) return;
    const now = context.currentTime;
    pianos.forEach((piano, number) => {
      if (!piano.level) return;
      piano.level.gain.cancelScheduledValues(now);
      piano.level.gain.setValueAtTime(piano.level.gain.value, now);
      piano.level.gain.linearRampToValueAtTime(level(number), now + FADE_S);
    });
  }

  function stop() {
    from = here() >= longest ? 0 : here();
    startedAt = null;
    pianos.forEach((piano) => { piano.source?.stop(); piano.source = null; });
    show();
  }

  function start() {
    startedAt = context.currentTime + 0.03;
    pianos.forEach((piano) => {
      piano.source = context.createBufferSource();
      piano.source.buffer = piano.sound;
      piano.source.connect(piano.level);
      if (from < piano.lasts) piano.source.start(startedAt, piano.begins + from);
      else piano.source = null;
    });
    levels();
    show();
  }

  async function toggle() {
    if (startedAt !== null) { stop(); return; }
    play.disabled = true;
    say("Fetching the recordings …");
    try {
      await prepared();
      say("");
      start();
    } catch {
      ready = undefined;
      say("A recording could not be fetched. Try again, or play them one by one.");
      root.querySelectorAll("audio").forEach((audio) => { audio.hidden = false; });
    }
    play.disabled = false;
    play.focus();
  }

  function choose(number) {
    if (!pianos[number]) return;
    chosen = number;
    pianos.forEach((piano, other) => {
      piano.button.setAttribute("aria-pressed", String(other === number));
      piano.row.classList.toggle("is-heard", other === number);
    });
    levels();
  }

  function seek() {
    const wasPlaying = startedAt !== null;
    if (wasPlaying) stop();
    from = Math.min(Number(place.value), longest);
    if (wasPlaying) start();
    show();
  }

  function byKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest("input:not([type=checkbox]), select, textarea")) return;
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (/^[1-4]$/.test(event.key)) choose(Number(event.key) - 1);
    else if (step) choose((chosen + step + pianos.length) % pianos.length);
    else return;
    event.preventDefault();
  }

  root.querySelectorAll("audio, .listen-name").forEach((element) => { element.hidden = true; });
  root.querySelectorAll("[data-choose], [data-bar], [data-evened], [data-keys]").forEach((element) => { element.hidden = false; });
  place.max = longest;
  pianos.forEach((piano, number) => piano.button.addEventListener("click", () => choose(number)));
  play.addEventListener("click", toggle);
  place.addEventListener("input", seek);
  even.addEventListener("change", () => {
    root.querySelectorAll("[data-evened]").forEach((words) => { words.hidden = !even.checked; });
    levels();
  });
  // Bare figures choose only while the player has the focus: whoever speaks to the machine presses keys unawares.
  root.addEventListener("keydown", byKey);
  addEventListener("pagehide", () => { if (startedAt !== null) stop(); });
  setInterval(() => {
    if (startedAt === null) return;
    if (here() >= longest) stop();
    else show();
  }, 100);
  choose(0);
  show();
})();
