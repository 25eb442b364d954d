// What a ball gains by where it finished: the same arithmetic as rangework.assessment.pin_values.
const PUTTED = 65535, OUT = 65534, WATER = 65533;

function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const values = new Uint16Array(bytes.length / 2);
  for (let i = 0; i < values.length; i++) values[i] = bytes[2 * i] | (bytes[2 * i + 1] << 8);
  return values;
}

function greenReady(green) {
  if (!green.codes) green.codes = unpacked(green.cells);
  return green;
}

function waterReady(test, ball) {
  if (ball.wet) return ball.wet;
  const green = greenReady(test.greens[ball.green]), blocks = new Map(), values = unpacked(ball.water);
  const across = Math.floor(green.columns / test.block) + 1, found = new Set();
  green.codes.forEach((code, cell) => {
    if (code === WATER) found.add(blockOf(test, green, cell, across));
  });
  [...found].sort((one, other) => one - other).forEach((block, place) => blocks.set(block, values[place] * test.step));
  ball.wet = { blocks, across };
  return ball.wet;
}

function blockOf(test, green, cell, across) {
  const row = Math.floor(cell / green.columns), column = cell % green.columns;
  return Math.floor(row / test.block) * across + Math.floor(column / test.block);
}

function cellAt(test, ball, long, right) {
  const green = greenReady(test.greens[ball.green]), rows = green.codes.length / green.columns;
  const x = long * ball.right + right * ball.forward, y = long * ball.forward - right * ball.right;
  const column = Math.min(Math.max(Math.floor((x - green.x0_m) / green.cell_m), 0), green.columns - 1);
  const row = Math.min(Math.max(Math.floor((y - green.y0_m) / green.cell_m), 0), rows - 1);
  return row * green.columns + column;
}

function stops(code) {
  return code === OUT || code === WATER || (code !== PUTTED && code % 2 === 1);
}

function putts(test, far) {
  const { step_m, strokes } = test.putts, at = far / step_m, last = strokes.length - 1;
  if (at >= last) return strokes[last];
  const low = Math.floor(at);
  return strokes[low] + (at - low) * (strokes[low + 1] - strokes[low]);
}

// Where a ball came to rest, metres beyond the pin, given where it was measured.
function restOf(test, ball, long, right) {
  if (!ball.run_m) return long;
  const landed = greenReady(test.greens[ball.green]).codes[cellAt(test, ball, long - ball.run_m, right)];
  return stops(landed) ? long - ball.run_m : long;
}

// Strokes gained by a finish in metres beyond the pin and right of it, seen from the ball.
function gained(test, ball, longMeasured, right) {
  const long = restOf(test, ball, longMeasured, right);
  const green = greenReady(test.greens[ball.green]), cell = cellAt(test, ball, long, right);
  const code = green.codes[cell];
  let after = Math.floor(code / 2) * test.step;
  if (code === PUTTED) after = putts(test, Math.hypot(long, right));
  else if (code === OUT) after = 1 + ball.strokes;
  else if (code === WATER) {
    const { blocks, across } = waterReady(test, ball);
    after = blocks.get(blockOf(test, green, cell, across));
  }
  return ball.strokes - 1 - after;
}

// What a noted result gains; null where nothing was read.
function gainedBy(test, ball, result) {
  if (!result || result.misread) return null;
  if (result.holed) return ball.strokes - 1;
  return gained(test, ball, result.long * test.unit_m, result.right * test.unit_m);
}
