// The card as CSV, out and in again; balls that were not hit stay empty.
function cellText(text) {
  return /[",\r\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text;
}

function exportedRow(test, ball, result) {
  const row = { ...ball.row };
  if (result) {
    row.date = result.date;
    if (result.misread) row.misread = "1";
    else if (result.holed) row.holed = "1";
    else {
      row["long_" + test.unit] = String(result.long);
      row["right_" + test.unit] = String(result.right);
    }
    const strokes = gainedBy(test, ball, result);
    row.gained = strokes === null ? "" : strokes.toFixed(3);
  }
  return row;
}

function exported(test, results) {
  const names = Object.keys(test.balls[0].row);
  const lines = test.balls.map((ball, place) => {
    const row = exportedRow(test, ball, results[place]);
    return names.map((name) => cellText(row[name])).join(",");
  });
  return [names.join(","), ...lines].join("\r\n") + "\r\n";
}

function rowsOf(text) {
  const rows = [[""]];
  let quoted = false;
  for (let i = text.charCodeAt(0) === 0xfeff ? 1 : 0; i < text.length; i++) {
    const sign = text[i], row = rows[rows.length - 1];
    if (quoted) {
      if (sign !== '"') row[row.length - 1] += sign;
      else if (text[i + 1] === '"') { row[row.length - 1] += '"'; i++; }
      else quoted = false;
    } else if (sign === '"') quoted = true;
    else if (sign === ",") row.push("");
    else if (sign === "\n") rows.push([""]);
    else if (sign !== "\r") row[row.length - 1] += sign;
  }
  return rows.filter((row) => row.length > 1);
}

// The results in a card's CSV, by place; throws what is wrong in words.
function loaded(test, text) {
  const [names, ...rows] = rowsOf(text);
  const column = (name) => (names || []).indexOf(name);
  const needed = ["assessment", "ball", "date", "long_" + test.unit, "right_" + test.unit, "misread", "holed"];
  const missing = needed.filter((name) => column(name) < 0);
  if (missing.length) throw new Error("This file lacks " + missing.join(", ") + ".");
  const results = test.balls.map(() => null), faults = [];
  for (const row of rows) {
    const cell = (name) => (row[column(name)] || "").trim(), number = cell("ball");
    const place = test.balls.findIndex((ball) => String(ball.number) === number);
    if (place < 0 || cell("assessment") !== test.balls[place].row.assessment) {
      faults.push("ball " + number + " is not of this test");
      continue;
    }
    const [long, right] = [cell("long_" + test.unit), cell("right_" + test.unit)], date = cell("date");
    if (cell("misread") === "1") results[place] = { misread: true, date };
    else if (cell("holed") === "1") results[place] = { holed: true, date };
    else if (long !== "" || right !== "") {
      const fault = faultOf(test, test.balls[place], Number(long || NaN), Number(right || NaN));
      if (fault) faults.push("ball " + number + ": " + fault);
      else results[place] = { long: Number(long), right: Number(right), date };
    }
  }
  if (faults.length) throw new Error(faults.join("; ") + ". Nothing was changed.");
  return results;
}

// Why a finish cannot be; empty where it can.
function faultOf(test, ball, long, right) {
  if (!Number.isFinite(long) || !Number.isFinite(right)) return "two numbers are needed";
  const most = Math.max(ball.target, Math.round(55 / test.unit_m));
  if (long > most) return "no ball goes " + long + " long";
  if (long < -1.1 * ball.target) return "a ball goes forward";
  if (Math.abs(right) > Math.max(ball.target, Math.round(36 / test.unit_m))) return "no ball goes that far aside";
  return "";
}
