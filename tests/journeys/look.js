// What an eye would see of a page, read off as a browser draws it; eye.py tells what is looked for.
// Called with the least contrast; answers sentences, one for each fault.
(least) => {
  const faults = new Set();
  const canvas = Object.assign(document.createElement("canvas"), { width: 1, height: 1 });
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  const all = (what, within = document) => [...within.querySelectorAll(what)];
  const style = (each, part) => getComputedStyle(each, part);
  const wide = (drawn, side) => parseFloat(drawn[`border${side}Width`]) > 0;
  const words = (each) => (each?.textContent || "").replace(/\s+/g, " ").trim();
  const classes = (each) => each.className.baseVal ?? each.className;

  function seen(each) {
    const box = each.getBoundingClientRect();
    return each.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && box.width > 1 && box.height > 1;
  }

  function check(right, what, each) {
    const called = classes(each) ? `.${classes(each)}` : "";
    if (!right) faults.add(`${what}: ${each.localName}${called} ${each.name || words(each).slice(0, 40)}`);
  }

  // Colours, with what shines through from behind.
  function over(behind, colour) {
    pen.clearRect(0, 0, 1, 1);
    for (const each of ["#fff", behind, colour]) {
      pen.fillStyle = each;
      pen.fillRect(0, 0, 1, 1);
    }
    return `rgb(${[...pen.getImageData(0, 0, 1, 1).data.slice(0, 3)].join(" ")})`;
  }

  function ground(each) {
    const layers = [];
    for (let at = each; at; at = at.parentElement) layers.unshift(style(at).backgroundColor);
    return layers.reduce(over, "#fff");
  }

  const around = (each) => ground(each.parentElement || document.body);

  // WCAG 2.2, "relative luminance" and "contrast ratio".
  function light(colour) {
    const parts = over(colour, colour).match(/\d+/g).map((part) => part / 255);
    const [r, g, b] = parts.map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }

  function standsOut(colour, behind) {
    const [dark, bright] = [light(over(behind, colour)), light(behind)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05) >= least;
  }

  function edges() {
    const typed = "input:not([type=hidden], [type=checkbox], [type=radio], [type=range], [type=submit])";
    for (const each of all(`${typed}, select, textarea, canvas, .strip-face`)) {
      if (!seen(each) || each.matches(":disabled") || each.closest(".visually-hidden")) continue;
      const drawn = style(each);
      const sides = ["Top", "Right", "Bottom", "Left"].filter((side) => wide(drawn, side));
      const isEdged = sides.length > 1 && sides.every((side) => standsOut(drawn[`border${side}Color`], around(each)));
      check(isEdged || standsOut(ground(each), around(each)), "edge too faint", each);
    }
    // The browser's own boxes and dots are left as they are, but for the colour of what is chosen.
    for (const each of all("input[type=checkbox], input[type=radio]").filter(seen)) {
      const accent = style(each).accentColor;
      check(style(each).appearance === "auto", "a box drawn by hand", each);
      check(accent === "auto" || standsOut(accent, around(each)), "chosen too faintly", each);
    }
  }

  function drawings() {
    for (const each of all("svg.icon").filter(seen)) {
      check(standsOut(style(each).color, ground(each)), "icon too faint", each.parentElement);
    }
    // What has a title of its own tells something.
    for (const title of all("svg.drawing title")) {
      const shape = title.parentElement;
      const parts = [shape, ...all("*", shape)].flatMap((part) => [style(part).fill, style(part).stroke]);
      const paints = parts.filter((paint) => paint && paint !== "none");
      const whole = shape.closest("svg");
      if (!seen(shape) || !paints.length) continue;
      check(paints.some((paint) => standsOut(paint, ground(whole))), `too faint in a drawing (${words(title)})`, whole);
    }
  }

  // One of each kind that Tab comes to.
  function focus() {
    const kinds = new Set();
    const before = document.activeElement;
    for (const each of all("a[href], button, input, select, textarea, summary, [tabindex='0']")) {
      const kind = `${each.localName} ${each.type} ${classes(each)} ${around(each)}`;
      if (kinds.has(kind) || !each.checkVisibility() || each.matches(":disabled, [type=hidden]")) continue;
      kinds.add(kind);
      each.focus({ preventScroll: true });
      if (document.activeElement !== each) continue;
      const isOutlined = (part) => part && style(part).outlineStyle !== "none" && parseFloat(style(part).outlineWidth) >= 1;
      const places = [each, each.closest("label"), ...(each.labels || []), each.nextElementSibling, each.parentElement];
      const shown = places.find(isOutlined);
      check(shown, "nothing marks the focus", each);
      if (!shown) continue;
      const behind = parseFloat(style(shown).outlineOffset) < 0 ? ground(shown) : around(shown);
      check(standsOut(style(shown).outlineColor, behind), "the focus is marked too faintly", each);
    }
    if (before && before !== document.body) before.focus({ preventScroll: true });
    else document.activeElement?.blur?.();
  }

  function links() {
    for (const each of all("main :is(p, li, dd, td, figcaption) a[href]:not(.button)").filter(seen)) {
      const isAmongWords = [...each.parentElement.childNodes].some((part) => part.nodeType === 3 && /\w/.test(part.data));
      if (!isAmongWords || each.querySelector("img")) continue;
      const drawn = style(each);
      check(drawn.textDecorationLine.includes("underline"), "a link among words is not underlined", each);
      check(standsOut(drawn.textDecorationColor, ground(each)), "a link underlined too faintly", each);
    }
  }

  // Beside its colour a status has a word, and a weight, a sign or a line.
  function statuses() {
    const marked = ".mark, .out, .good, .done, .wrong, .message, .callout, .blocker, .caution";
    for (const each of all(`main :is(${marked})`).filter(seen)) {
      const drawn = style(each);
      const isSign = (part) => !["none", "normal", '""'].includes(style(each, part).content);
      const signs = [
        drawn.fontWeight >= 600,
        ["::before", "::after"].some(isSign),
        ["Left", "Bottom"].some((side) => wide(drawn, side)),
        each.querySelector(".icon, .mark, .visually-hidden, input, strong"),
      ];
      check(/[\p{L}\d]/u.test(words(each)), "a status without a word", each);
      check(signs.some(Boolean), "a status by its colour alone", each);
    }
  }

  function headings() {
    const heads = all("h1, h2, h3, h4").filter((each) => each.checkVisibility());
    const path = [], met = new Set();
    if (heads.filter((each) => each.localName === "h1").length !== 1) faults.add("not one heading of the page");
    for (const each of heads) {
      path.length = Number(each.localName[1]) - 1;
      const place = [...path, words(each)].join(" > ");
      check(words(each) || each.querySelector("[alt]:not([alt=''])"), "an empty heading", each);
      // Entries of a list are headed by what they are about, and two pianos may be of one maker.
      check(!met.has(place) || each.closest("li, article, .row, .card") || each.querySelector("a"), "a heading twice", each);
      met.add(place);
      path.push(words(each));
    }
  }

  function context(each) {
    const near = each.closest("tr, li, article, details, section");
    const said = near?.querySelector("th, h2, h3, h4, strong, summary, a");
    return `${words(each.closest("fieldset")?.querySelector("legend"))} / ${words(said)}`;
  }

  // Twice the same name in the same place is right only for the same thing.
  function once(met, place, what, each, thing) {
    check(!met.has(place) || met.get(place) === thing, what, each);
    met.set(place, thing);
  }

  function labels() {
    const fields = new Map(), buttons = new Map();
    for (const each of all("label, legend")) check(words(each), "an empty label", each);
    const typed = "input:not([type=hidden], [type=radio], [type=checkbox]), select, textarea";
    for (const each of all(`main :is(${typed})`).filter(seen)) {
      const by = (each.getAttribute("aria-labelledby") || "").split(" ").map((id) => words(document.getElementById(id)));
      const name = each.getAttribute("aria-label") || by.join(" ") || [...(each.labels || [])].map(words).join(" ");
      check(name, "a field without a label", each);
      once(fields, `${each.form?.getAttribute("action")} | ${context(each)} | ${name}`, `a label twice (${name})`, each, each.name);
    }
    for (const each of all("main button:not([type=button], [aria-hidden=true])").filter(seen)) {
      const name = each.getAttribute("aria-label") || words(each);
      check(name, "a button without a name", each);
      const to = each.getAttribute("formaction") || each.form?.getAttribute("action");
      const leads = `${to} ${each.name} ${each.value}`;
      once(buttons, `${name} | ${context(each)}`, `a button's name twice (${name})`, each, leads);
    }
  }

  for (const look of [edges, drawings, links, statuses, headings, labels, focus]) look();
  return [...faults];
}
