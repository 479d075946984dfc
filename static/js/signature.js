// A signature drawn with finger, pen or mouse: lines between points go into the form, no picture does. What belongs
// to the chosen way is open; without this file a paper is signed by typing the name or in ink.
"use strict";

(() => {
  const fields = [...document.querySelectorAll("[data-signature]")];
  if (!fields.length) return;

  function begin(field) {
    const pad = field.querySelector("canvas");
    const hidden = field.querySelector("input[type=hidden]");
    const said = field.querySelector("[data-signature-said]");
    const pen = pad.getContext("2d");
    let strokes = [];

    function draw() {
      pen.clearRect(0, 0, pad.width, pad.height);
      pen.lineWidth = 5;
      pen.lineCap = pen.lineJoin = "round";
      pen.strokeStyle = getComputedStyle(pad).color;
      for (const stroke of strokes) {
        pen.beginPath();
        stroke.forEach(([x, y], at) => (at ? pen.lineTo(x, y) : pen.moveTo(x, y)));
        pen.stroke();
      }
    }

    function keep() {
      hidden.value = strokes.length ? JSON.stringify(strokes) : "";
      said.textContent = strokes.length ? said.dataset.drawn : said.dataset.empty;
      hidden.dispatchEvent(new Event("input", { bubbles: true }));
    }

    function point(event) {
      const box = pad.getBoundingClientRect();
      const inside = (value, most) => Math.min(most, Math.max(0, Math.round(value)));
      return [
        inside((event.clientX - box.left) / box.width * pad.width, pad.width),
        inside((event.clientY - box.top) / box.height * pad.height, pad.height),
      ];
    }

    pad.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      pad.setPointerCapture(event.pointerId);
      strokes.push([point(event)]);
      draw();
    });
    pad.addEventListener("pointermove", (event) => {
      if (!event.buttons || !strokes.length) return;
      const next = point(event);
      const stroke = strokes.at(-1);
      const [x, y] = stroke.at(-1);
      if (Math.hypot(next[0] - x, next[1] - y) < 3) return;
      stroke.push(next);
      draw();
    });
    pad.addEventListener("pointerup", keep);
    field.querySelector("[data-signature-clear]").addEventListener("click", () => {
      strokes = [];
      draw();
      keep();
    });
    try {
      strokes = hidden.value ? JSON.parse(hidden.value) : [];
    } catch {
      strokes = [];
    }
    draw();
  }

  fields.forEach(begin);
  const parts = [...document.querySelectorAll("[data-signed-by]")];
  const ways = [...document.querySelectorAll("input[name=way]")];
  const show = () => {
    const chosen = ways.find((way) => way.checked)?.value;
    parts.forEach((part) => { part.hidden = !part.dataset.signedBy.split(" ").includes(chosen); });
  };
  ways.forEach((way) => way.addEventListener("change", show));
  show();
})();
