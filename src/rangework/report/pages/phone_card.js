// The page: one ball at a time, everything kept at every keystroke.
const test = JSON.parse(document.getElementById("test").textContent);
const KEY = "rangework practice test " + test.id;
const element = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";
let state = { at: 0, entries: test.balls.map(() => ({})) };

function keep() {
  try {
    localStorage.setItem(KEY, JSON.stringify(state));
  } catch (error) {
    element("kept").textContent = "This browser keeps nothing: export the CSV before you close the page.";
    element("kept").hidden = false;
  }
}

function recall() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEY) || "null");
    if (kept && Array.isArray(kept.entries) && kept.entries.length === test.balls.length) state = kept;
  } catch (error) { keep(); }
  state.at = Math.min(Math.max(Math.trunc(Number(state.at)) || 0, 0), test.balls.length - 1);
}

function today() {
  const now = new Date(), two = (number) => String(number).padStart(2, "0");
  return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
}

// A length as it was typed: { value, fault }; value null where nothing stands there yet.
function typed(text, sign, ways) {
  const plain = (text || "").trim().replace(",", ".").replace("\u2212", "-");
  if (plain === "") return { value: null, fault: "" };
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return { value: null, fault: "\u201c" + text + "\u201d is no number" };
  const size = Number(plain);
  if (size !== 0 && !sign && !/^[+-]/.test(plain)) return { value: null, fault: ways + "?" };
  return { value: size * (sign && !/^[+-]/.test(plain) ? sign : 1) + 0, fault: "" };
}

// What an entry says: { result, fault }; result null while it is not whole.
function read(ball, entry) {
  if (entry.misread) return { result: { misread: true, date: entry.date }, fault: "" };
  if (entry.holed) return { result: { holed: true, date: entry.date }, fault: "" };
  const long = typed(entry.long, entry.longSign, "short or long");
  const right = typed(entry.right, entry.rightSign, "left or right");
  const fault = [long.fault, right.fault].filter(Boolean).join("; ");
  if (fault || (long.value === null && right.value === null)) return { result: null, fault };
  if (long.value === null) return { result: null, fault: "how far short or long? 0 where it is pin high" };
  if (right.value === null) return { result: null, fault: "how far left or right? 0 where it is on line" };
  const impossible = faultOf(test, ball, long.value, right.value);
  if (impossible) return { result: null, fault: impossible };
  return { result: { long: long.value, right: right.value, date: entry.date }, fault: "" };
}

const results = () => test.balls.map((ball, place) => read(ball, state.entries[place]).result);
const signed = (value, digits) => (value < 0 ? "\u2212" : "+") + Math.abs(value).toFixed(digits);
const succeeded = (strokes) => strokes >= -test.margin;

function drawn(name, attributes, parent) {
  const shape = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) shape.setAttribute(key, value);
  return parent.appendChild(shape);
}

const path = (rings) => rings.map((ring) => "M" + ring.map((point) => point.join(" ")).join("L") + "Z").join("");

function halfWidth(ball) {
  const reach = Math.max(...ball.success) * test.unit_m;
  return Math.min(Math.max(1.35 * reach, 12), 42);
}

function draw(ball, result) {
  const picture = element("green"), half = halfWidth(ball), green = test.greens[ball.green];
  picture.replaceChildren();
  picture.setAttribute("viewBox", [-half, -half, 2 * half, 2 * half].join(" "));
  const up = drawn("g", { transform: "scale(1,-1)" }, picture);
  const ground = drawn("g", { transform: "rotate(" + ball.turn_deg + ")" }, up);
  for (const [kind, rings] of green.ground) drawn("path", { d: path(rings), class: kind, "fill-rule": "evenodd" }, ground);
  const line = half / 110;
  drawn("path", { d: path(ball.zone), class: "zone", "stroke-width": 2 * line, "fill-rule": "evenodd" }, up);
  const step = [2, 5, 10, 20].find((size) => half / (size * test.unit_m) < 3.6) || 20;
  for (let ring = 1; ring * step * test.unit_m < half; ring++) {
    const r = ring * step * test.unit_m;
    drawn("circle", { r, class: "ring", "stroke-width": line }, up);
    const mark = drawn("text", { x: 0.7071 * r, y: 0.7071 * r, class: "label", "font-size": 8 * line, "stroke-width": 2 * line }, picture);
    mark.textContent = ring * step;
  }
  drawn("circle", { r: 2.4 * line, class: "pin" }, up);
  drawn("path", { d: "M0 0V" + 13 * line + "L" + 7 * line + " " + 10.5 * line + "L0 " + 8 * line, class: "flag", "stroke-width": 1.2 * line }, up);
  if (result && !result.misread) {
    const right = result.right * test.unit_m, rest = result.holed ? 0 : restOf(test, ball, result.long * test.unit_m, right);
    const [x, y] = result.holed ? [0, 0] : [right, rest];
    drawn("circle", { cx: Math.min(Math.max(x, -half), half), cy: Math.min(Math.max(y, -half), half), r: 4 * line, class: "finish", "stroke-width": 1.6 * line }, up);
  }
}

function sideWord(word) {
  return { left: "left of it", right: "right of it", front: "in front", back: "behind" }[word];
}

function show() {
  const ball = test.balls[state.at], entry = state.entries[state.at], green = test.greens[ball.green];
  const { result, fault } = read(ball, entry), unit = test.unit;
  const [left, right, front, back] = ball.room;
  element("asked").textContent = "Ball " + ball.number + " of " + test.balls.length + ": " + ball.distance + " " + unit
    + " from " + ball.lie + (test.carry ? ", land it at " + ball.target : "");
  element("pin").textContent = "Hole " + green.hole + ", pin " + green.pin + ": green " + left + " left of it, " + right
    + " right, " + front + " in front, " + back + " behind."
    + (ball.short_side === "none" ? "" : " Short side " + sideWord(ball.short_side) + ".")
    + (ball.bunker === "none" ? "" : " Sand " + sideWord(ball.bunker) + ".");
  element("aim").textContent = "Inside the line is a success. Rings: " + unit + " from the pin. Touch where the ball "
    + (test.carry ? "would have finished: " + Math.round(ball.run_m / test.unit_m) + " " + unit + " on from where it landed." : "finished.");
  for (const name of ["long", "right"]) {
    const field = element(name);
    if (document.activeElement !== field) field.value = entry[name] || "";
    for (const button of element(name + "-way").children)
      button.setAttribute("aria-pressed", String(Number(button.dataset.sign) === entry[name + "Sign"]));
  }
  element("holed").setAttribute("aria-pressed", String(Boolean(entry.holed)));
  element("unread").setAttribute("aria-pressed", String(Boolean(entry.misread)));
  element("fault").textContent = fault;
  showResult(ball, result);
  element("back").disabled = state.at === 0;
  element("next").disabled = state.at === test.balls.length - 1;
  draw(ball, result);
  showTotals();
}

function showResult(ball, result) {
  const strokes = gainedBy(test, ball, result), told = element("result");
  told.className = strokes === null ? "" : succeeded(strokes) ? "success" : "miss";
  if (!result) told.textContent = "Not noted yet.";
  else if (strokes === null) told.textContent = "No figures: this ball is not scored.";
  else told.textContent = signed(strokes, 2) + " strokes: " + (succeeded(strokes) ? "a success" : "no success");
}

function showTotals() {
  const found = results(), scored = found.map((result, place) => gainedBy(test, test.balls[place], result));
  const known = scored.filter((strokes) => strokes !== null), count = known.length;
  const total = known.reduce((sum, strokes) => sum + strokes, 0), mean = total / count;
  const spread = Math.sqrt(known.reduce((sum, strokes) => sum + (strokes - mean) ** 2, 0) / (count - 1) / count);
  const noted = found.filter(Boolean).length, won = known.filter(succeeded).length;
  const rows = [["balls noted", noted + " of " + test.balls.length]];
  if (count) rows.push(["strokes gained", signed(total, 2)], ["a ball", signed(mean, 2)], ["successes", won + " of " + count]);
  if (count > 2) rows.push(["90 % range of a ball", signed(mean - 1.645 * spread, 2) + " to " + signed(mean + 1.645 * spread, 2)]);
  element("totals").replaceChildren(...rows.flatMap(([name, value]) => {
    const term = document.createElement("dt"), figure = document.createElement("dd");
    term.textContent = name;
    figure.textContent = value;
    return [term, figure];
  }));
  element("words").textContent = count ? "The range is luck of the balls alone: days differ as well." : "";
  showList(found, scored);
}

function showList(found, scored) {
  element("strip").replaceChildren(...test.balls.map((ball, place) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = ball.number;
    button.className = found[place] ? (scored[place] === null ? "noted" : succeeded(scored[place]) ? "success" : "miss") : "";
    button.setAttribute("aria-label", "ball " + ball.number + (found[place] ? ", noted" : ""));
    if (place === state.at) button.setAttribute("aria-current", "true");
    button.addEventListener("click", () => go(place));
    return button;
  }));
  const noted = found.map((result, place) => [result, place]).filter(([result]) => result);
  element("balls").replaceChildren(...noted.map(([result, place]) => {
    const item = document.createElement("li"), ball = test.balls[place];
    item.value = ball.number;
    item.textContent = ball.distance + " " + test.unit + ", " + ball.lie + ": " + finishWords(result)
      + (scored[place] === null ? "" : ", " + signed(scored[place], 2));
    return item;
  }));
}

function finishWords(result) {
  if (result.misread) return "no figures";
  if (result.holed) return "holed";
  const part = (value, less, more) => Math.abs(value) + " " + (value < 0 ? less : more);
  return part(result.long, "short", "long") + ", " + part(result.right, "left", "right");
}

function change(values) {
  const entry = state.entries[state.at];
  Object.assign(entry, values);
  if (!entry.date) entry.date = today();
  keep();
  show();
}

function go(place) {
  document.activeElement.blur();
  state.at = place;
  keep();
  show();
  const current = element("strip").children[place];
  element("strip").scrollLeft = current.offsetLeft - element("strip").clientWidth / 2;
}

function touched(event) {
  const picture = element("green"), place = new DOMPoint(event.clientX, event.clientY);
  const at = place.matrixTransform(picture.getScreenCTM().inverse());
  const part = (value) => Math.abs(Math.round((10 * value) / test.unit_m) / 10);
  document.activeElement.blur();
  change({ long: String(part(at.y)), longSign: at.y > 0 ? -1 : 1, right: String(part(at.x)), rightSign: at.x < 0 ? -1 : 1,
    holed: false, misread: false });
}

function startAgain() {
  if (!confirm("Forget all results of this test on this phone?")) return;
  state = { at: 0, entries: test.balls.map(() => ({})) };
  keep();
  show();
}

function exportFile() {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([exported(test, results())], { type: "text/csv" }));
  link.download = test.name.replace(/[^\w-]+/g, "-").replace(/^-+|-+$/g, "") + ".csv";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  const left = results().filter((result) => !result).length;
  element("told").textContent = "Exported" + (left ? "; " + left + " balls are still to come." : ".");
}

async function loadFile(event) {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  try {
    take(loaded(test, await file.text()));
    element("told").textContent = "Loaded.";
  } catch (error) { element("told").textContent = error.message; }
}

// Results of a file go into the balls that have none here.
function take(found) {
  found.forEach((result, place) => {
    if (!result || read(test.balls[place], state.entries[place]).result) return;
    const { long, right, ...rest } = result;
    state.entries[place] = result.long === undefined ? rest : { ...rest,
      long: String(Math.abs(long)), longSign: long < 0 ? -1 : 1, right: String(Math.abs(right)), rightSign: right < 0 ? -1 : 1 };
  });
  keep();
  show();
}

function begin() {
  const how = test.carry ? "where each ball lands" : "where each ball stops";
  const golfer = test.reference === "tour" ? "a tour golfer" : "a golfer of handicap " + (test.reference < 0 ? "+" + -test.reference : test.reference);
  element("name").textContent = test.name;
  element("where").textContent = test.balls.length + " balls at greens of " + test.course + ". Play at the pin; note " + how
    + ", in " + test.unit + " from the " + (test.carry ? "landing distance asked for" : "pin") + (test.paced ? ", paced." : ".");
  element("where-to").textContent = test.carry ? "Where it landed (" + test.unit + " from the target)" : "Where it stopped (" + test.unit + " from the pin)";
  element("basis").textContent = "Strokes gained on " + golfer + ", who needs so many from there by simulated play."
    + (test.attribution ? " Map data: " + test.attribution : "");
  for (const name of ["long", "right"]) {
    element(name).addEventListener("input", (event) => change({ [name]: event.target.value, holed: false, misread: false }));
    for (const button of element(name + "-way").children)
      button.addEventListener("click", () => change({ [name + "Sign"]: Number(button.dataset.sign), holed: false, misread: false }));
  }
  element("green").addEventListener("click", touched);
  element("holed").addEventListener("click", () => change({ holed: true, misread: false, long: "", right: "" }));
  element("unread").addEventListener("click", () => change({ misread: true, holed: false, long: "", right: "" }));
  element("clear").addEventListener("click", () => { state.entries[state.at] = {}; keep(); show(); });
  element("back").addEventListener("click", () => go(state.at - 1));
  element("next").addEventListener("click", () => go(state.at + 1));
  element("export").addEventListener("click", exportFile);
  element("load").addEventListener("change", loadFile);
  element("restart").addEventListener("click", startAgain);
  element("entry").addEventListener("submit", (event) => event.preventDefault());
  recall();
  element("card").hidden = false;
  show();
}

begin();
