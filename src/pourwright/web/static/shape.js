// The piece and its mold, turned by hand and pulled apart. Drawn by WebGL; where a browser has none,
// triangle by triangle, the farthest first. It stands on a banding wheel. Nothing moves by itself.

const place = document.querySelector("[data-turning]");
const stage = place.querySelector("[data-stage]");
const told = JSON.parse(document.getElementById("turning-data").textContent);
const canvas = stage.querySelector("canvas");
const slider = document.getElementById("apart");
const plaster = document.getElementById("plaster");
const CREASE = Math.cos((30 * Math.PI) / 180); // edges sharper than this are drawn, others are shaded round
const LIGHT = [-0.45, 0.6, 0.66]; // from the upper left, before who looks
const POURED = 255, MOST_KINDS = 8, TINTS = 6;
const BY = ["part", "draft", "wall"]; // in the order of a triangle's bytes
const HATCHED = { draft: 3, wall: 2 }; // what holds, and what is solid, is known without its color
const SIDES = ["front", "right", "back", "left"]; // as the wheel is turned, a quarter each
const HATCH = 9, STRIPE = 3; // dots of the page from stripe to stripe, and how wide each is
const MOST_NEAR = 8, A_TAP = 6; // dots of the page that a finger trembles
const wheel = document.getElementById("wheel"), lift = document.getElementById("lift");
const FIRST = { turn: fromAside(), tilt: 24, near: 1, across: 0, up: 0 }; // moved by halves of the picture
const view = { ...FIRST };

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const chosen = () => stage.querySelector("input[name=by]:checked").value;
const radians = degrees => (degrees * Math.PI) / 180;

/** Return the turn that looks between the first two sides as they are pulled apart. [degree] */
function fromAside() {
  const [x, y] = told.parts.find(one => Math.abs(one.pull[2]) < 0.5)?.pull ?? [0, 1];
  return (Math.atan2(y + 0.35 * x, x - 0.35 * y) * 180) / Math.PI;
}

// --- the bodies, as shape/view_file.py describes them

/** Return the bodies in the file: the piece, then each part. */
function bodiesOf(buffer) {
  let at = 0;
  return told.bodies.map(([corners, triangles], number) => {
    const points = new Float32Array(buffer, at, 3 * corners);
    const faces = new Uint32Array(buffer, at + 12 * corners, 3 * triangles);
    const kinds = new Uint8Array(buffer, at + 12 * (corners + triangles), 4 * triangles);
    at += 12 * corners + 16 * triangles;
    const normals = normalsOf(points, faces);
    return {
      faces, points, kinds, normals,
      shades: shadesOf(faces, normals, corners),
      edges: edgesOf(faces, normals, kinds, corners),
      box: boxOf(points),
      part: told.parts[number - 1],
    };
  });
}

/** Return the direction outward of each triangle, as three numbers. */
function normalsOf(points, faces) {
  const normals = new Float32Array(faces.length);
  for (let at = 0; at < faces.length; at += 3) {
    const [a, b, c] = [faces[at] * 3, faces[at + 1] * 3, faces[at + 2] * 3];
    const [ux, uy, uz] = [points[b] - points[a], points[b + 1] - points[a + 1], points[b + 2] - points[a + 2]];
    const [vx, vy, vz] = [points[c] - points[a], points[c + 1] - points[a + 1], points[c + 2] - points[a + 2]];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const length = Math.hypot(x, y, z) || 1;
    normals.set([x / length, y / length, z / length], at);
  }
  return normals;
}

/** Return the direction in which each triangle's corner is shaded: as its neighbors, up to a crease. */
function shadesOf(faces, normals, corners) {
  const begins = new Uint32Array(corners + 1);
  for (const corner of faces) begins[corner + 1] += 1;
  for (let corner = 0; corner < corners; corner += 1) begins[corner + 1] += begins[corner];
  const filled = begins.slice(), around = new Uint32Array(faces.length);
  faces.forEach((corner, side) => { around[filled[corner]++] = side - (side % 3); });
  const shades = new Float32Array(3 * faces.length);
  faces.forEach((corner, side) => {
    const own = side - (side % 3);
    let x = 0, y = 0, z = 0;
    for (let n = begins[corner]; n < begins[corner + 1]; n += 1) {
      const other = around[n];
      if (normals[own] * normals[other] + normals[own + 1] * normals[other + 1] + normals[own + 2] * normals[other + 2] < CREASE) continue;
      x += normals[other]; y += normals[other + 1]; z += normals[other + 2];
    }
    const length = Math.hypot(x, y, z) || 1;
    shades.set([x / length, y / length, z / length], 3 * side);
  });
  return shades;
}

/** Return the edges to draw, creases and where another part takes over: two corners each, and which sides they are. */
function edgesOf(faces, normals, kinds, corners) {
  const first = new Map(), drawn = [], sides = new Uint8Array(faces.length);
  faces.forEach((from, side) => {
    const own = side - (side % 3), to = faces[own + ((side + 1) % 3)];
    const edge = Math.min(from, to) * corners + Math.max(from, to);
    if (!first.has(edge)) { first.set(edge, side); return; }
    const beside = first.get(edge), other = beside - (beside % 3);
    const bend = normals[own] * normals[other] + normals[own + 1] * normals[other + 1] + normals[own + 2] * normals[other + 2];
    if (bend < CREASE || kinds[(own / 3) * 4] !== kinds[(other / 3) * 4]) {
      drawn.push(from, to);
      sides[side] = sides[beside] = 1;
    }
  });
  return { ends: new Uint32Array(drawn), sides };
}

function boxOf(points) {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  points.forEach((value, at) => {
    low[at % 3] = Math.min(low[at % 3], value);
    high[at % 3] = Math.max(high[at % 3], value);
  });
  return { low, high };
}

// --- what is seen

/** Return how far a part is pulled off, in order: each begins when the one before it is off. [mm] */
function pulled(bodies, number) {
  if (number === 0) return 0;
  const { low, high } = bodies[0].box;
  const far = 0.55 * Math.max(...high.map((value, axis) => value - low[axis]));
  const done = (slider.value / 100) * (bodies.length - 1) - (number - 1);
  return far * Math.min(Math.max(done, 0), 1);
}

/** Return the directions of the picture: to the right, up, and toward who looks. */
function frameOf() {
  const [turn, tilt] = [radians(view.turn), radians(view.tilt)];
  const [s, c, st, ct] = [Math.sin(turn), Math.cos(turn), Math.sin(tilt), Math.cos(tilt)];
  return [[c, s, 0], [-s * st, c * st, ct], [s * ct, -c * ct, st]];
}

/** Return what is to be drawn: each body with its place and its colors, and what fits the picture. */
function sceneOf(bodies) {
  const by = chosen();
  const shown = bodies.map((body, number) => {
    const off = pulled(bodies, number);
    return { ...body, number, offset: body.part ? body.part.pull.map(one => one * off) : [0, 0, 0] };
  }).filter(body => body.number === 0 || plaster.checked);
  const own = keyOf(by), plain = [toneOf("--hair")];
  return {
    shown: shown.map(body => ({ ...body, colors: body.number === 0 || by === "part" ? own : plain, column: BY.indexOf(by) })),
    ...fitting(shown), frame: frameOf(), ink: toneOf("--ink"), stripe: toneOf("--sheet"), hatched: HATCHED[by] ?? -1,
  };
}

/** Return the middle of some bodies, and how far they reach from it however they are turned, at this tilt. */
function fitting(shown) {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (const { box } of shown) {
    for (const axis of [0, 1, 2]) {
      low[axis] = Math.min(low[axis], box.low[axis]);
      high[axis] = Math.max(high[axis], box.high[axis]);
    }
  }
  const center = low.map((value, axis) => (value + high[axis]) / 2);
  const [st, ct] = [Math.abs(Math.sin(radians(view.tilt))), Math.cos(radians(view.tilt))];
  let radius = 0, wide = 0, tall = 0;
  for (const { box, offset } of shown) {
    for (let corner = 0; corner < 8; corner += 1) {
      const away = [0, 1, 2].map(axis => (corner & (1 << axis) ? box.high : box.low)[axis] + offset[axis] - center[axis]);
      const level = Math.hypot(away[0], away[1]);
      radius = Math.max(radius, Math.hypot(...away));
      wide = Math.max(wide, level);
      tall = Math.max(tall, Math.abs(away[2]) * ct + level * st);
    }
  }
  return { center, radius, wide, tall };
}

/** Return a tone of the page as red, green and blue, 0 to 1. */
function toneOf(name) {
  const hex = getComputedStyle(canvas).getPropertyValue(name).trim();
  return [1, 3, 5].map(at => parseInt(hex.slice(at, at + 2), 16) / 255);
}

/** Return the colors of a key, one for each kind; what is left over is the face that slip is poured through. */
function keyOf(by) {
  const colors = [...place.querySelectorAll(`[data-key="${by}"] [data-tone]`)].map(mark => toneOf(`--${mark.dataset.tone}`));
  const poured = colors.pop();
  return [...colors.slice(0, MOST_KINDS - 1), ...Array(MOST_KINDS).fill(poured)].slice(0, MOST_KINDS);
}

/** Return a triangle's kind as the place of its color. */
function kindOf(byte, by) {
  return by === 0 && byte !== POURED ? byte % TINTS : Math.min(byte, MOST_KINDS - 1);
}

/** Return how many dots a millimeter is wide. */
function fitOf({ wide, tall }) {
  return 0.48 * view.near * Math.min(canvas.width / wide, canvas.height / tall);
}

// --- by WebGL

const CORNER = `
attribute vec3 corner, shade, kind;
uniform vec3 offset, center, right, up, toward, light, column, colors[8];
uniform vec2 scale, moved;
uniform float depth, hatched, lit;
varying vec3 color;
varying float hatch;
void main() {
  vec3 at = corner + offset - center;
  gl_Position = vec4(vec2(dot(right, at), dot(up, at)) * scale + moved, -dot(toward, at) / depth, 1.0);
  gl_Position.z -= 0.002 * (1.0 - lit); // edges lie before the faces that they bound
  float own = dot(kind, column);
  float bright = 0.55 + 0.45 * max(dot(vec3(dot(right, shade), dot(up, shade), dot(toward, shade)), light), 0.0);
  color = colors[int(own + 0.5)] * mix(1.0, bright, lit);
  hatch = abs(own - hatched) < 0.5 ? 1.0 : 0.0;
}`;
const DOT = `
precision mediump float;
uniform vec3 stripe;
uniform float dots;
varying vec3 color;
varying float hatch;
void main() {
  bool is_stripe = hatch > 0.5 && mod(gl_FragCoord.x + gl_FragCoord.y, ${HATCH}.0 * dots) < ${STRIPE}.0 * dots;
  gl_FragColor = vec4(is_stripe ? stripe : color, 1.0);
}`;

/** Return what draws a scene by WebGL; null where there is none. */
function byWebGL(bodies) {
  const gl = canvas.getContext("webgl", { antialias: true });
  if (!gl) return null;
  const program = gl.createProgram();
  for (const [type, text] of [[gl.VERTEX_SHADER, CORNER], [gl.FRAGMENT_SHADER, DOT]]) {
    const shader = gl.createShader(type);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return null;
  gl.useProgram(program);
  const set = name => gl.getUniformLocation(program, name);
  const into = Object.fromEntries(["corner", "shade", "kind"].map(name => [name, gl.getAttribLocation(program, name)]));
  const kept = data => {
    const buffer = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
    return buffer;
  };
  const buffers = bodies.map(body => ({
    corners: kept(spread(body.points, body.faces)), shades: kept(body.shades), kinds: kept(kindsOf(body)),
    edges: kept(spread(body.points, body.edges.ends)),
  }));
  const take = (where, buffer, type = gl.FLOAT, stride = 0) => {
    gl.enableVertexAttribArray(where);
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.vertexAttribPointer(where, 3, type, false, stride, 0);
  };
  gl.enable(gl.DEPTH_TEST);
  return scene => {
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const fit = fitOf(scene);
    gl.uniform2f(set("scale"), (2 * fit) / canvas.width, (2 * fit) / canvas.height);
    gl.uniform2f(set("moved"), view.across, view.up);
    gl.uniform1f(set("depth"), 1.01 * scene.radius);
    gl.uniform1f(set("dots"), canvas.width / canvas.clientWidth);
    ["right", "up", "toward"].forEach((name, n) => gl.uniform3fv(set(name), scene.frame[n]));
    gl.uniform3fv(set("center"), scene.center);
    gl.uniform3fv(set("light"), LIGHT);
    gl.uniform3fv(set("stripe"), scene.stripe);
    for (const body of scene.shown) {
      const { corners, shades, kinds, edges } = buffers[body.number];
      const isPlain = body.colors.length === 1;
      gl.uniform3fv(set("offset"), body.offset);
      gl.uniform3fv(set("colors"), [...body.colors, ...Array(MOST_KINDS - body.colors.length).fill(body.colors[0])].flat());
      gl.uniform3fv(set("column"), [0, 1, 2].map(n => (!isPlain && n === body.column ? 1 : 0)));
      gl.uniform1f(set("hatched"), isPlain ? -1 : scene.hatched);
      gl.uniform1f(set("lit"), 1);
      take(into.corner, corners);
      take(into.shade, shades);
      take(into.kind, kinds, gl.UNSIGNED_BYTE, 4);
      gl.drawArrays(gl.TRIANGLES, 0, body.faces.length);
      gl.disableVertexAttribArray(into.shade);
      gl.disableVertexAttribArray(into.kind);
      gl.uniform3fv(set("colors"), Array(MOST_KINDS).fill(scene.ink).flat());
      gl.uniform1f(set("hatched"), -1);
      gl.uniform1f(set("lit"), 0);
      take(into.corner, edges);
      gl.drawArrays(gl.LINES, 0, body.edges.ends.length);
    }
  };
}

/** Return the points of some corners, one after the other. */
function spread(points, corners) {
  const made = new Float32Array(3 * corners.length);
  corners.forEach((corner, at) => made.set(points.subarray(3 * corner, 3 * corner + 3), 3 * at));
  return made;
}

/** Return the places of a body's colors, four bytes for each corner of each triangle. */
function kindsOf({ faces, kinds }) {
  const made = new Uint8Array(4 * faces.length);
  faces.forEach((_, side) => {
    const own = 4 * Math.floor(side / 3);
    for (const by of [0, 1, 2]) made[4 * side + by] = kindOf(kinds[own + by], by);
  });
  return made;
}

// --- without WebGL

/** Return what draws a scene triangle by triangle; null where a canvas cannot draw at all. */
function byTriangles() {
  const pen = canvas.getContext("2d");
  if (!pen) return null;
  return scene => {
    const [right, up, toward] = scene.frame;
    const fit = fitOf(scene);
    const drawn = scene.shown.flatMap(body => facing(body, scene, right, up, toward, fit));
    const stripes = stripesOf(pen, scene.stripe), ink = asText(scene.ink);
    pen.clearRect(0, 0, canvas.width, canvas.height);
    for (const { flat, color, isHatched, edges } of drawn.sort((one, other) => one.near - other.near)) {
      pen.fillStyle = pen.strokeStyle = asText(color);
      pen.beginPath();
      for (let n = 0; n < 6; n += 2) pen.lineTo(flat[n], flat[n + 1]);
      pen.closePath();
      pen.fill();
      pen.stroke(); // or light would shine through between neighbors
      if (isHatched) { pen.fillStyle = stripes; pen.fill(); }
      pen.strokeStyle = ink;
      edges.forEach((isEdge, n) => {
        if (!isEdge) return;
        const next = (2 * n + 2) % 6;
        pen.beginPath();
        pen.moveTo(flat[2 * n], flat[2 * n + 1]);
        pen.lineTo(flat[next], flat[next + 1]);
        pen.stroke();
      });
    }
  };
}

const asText = color => `rgb(${color.map(value => Math.round(255 * value)).join(" ")})`;

/** Return the same stripes as the shader draws. */
function stripesOf(pen, color) {
  const tile = document.createElement("canvas"), dots = canvas.width / canvas.clientWidth;
  tile.width = tile.height = Math.round(HATCH * dots);
  const brush = tile.getContext("2d");
  brush.fillStyle = asText(color);
  for (let x = 0; x < tile.width; x += 1) {
    for (let y = 0; y < tile.width; y += 1) if ((x + y) % tile.width < STRIPE * dots) brush.fillRect(x, y, 1, 1);
  }
  return pen.createPattern(tile, "repeat");
}

/** Return the triangles of a body that face who looks: where they are drawn, in which color, how near. */
function facing(body, scene, right, up, toward, fit) {
  const made = [], { faces, points, normals, kinds, offset, colors, column, edges } = body;
  const [x, y] = [(canvas.width / 2) * (1 + view.across), (canvas.height / 2) * (1 - view.up)];
  for (let at = 0; at < faces.length; at += 3) {
    const normal = normals.subarray(at, at + 3);
    if (dot(normal, toward) <= 0) continue;
    const flat = [];
    let near = 0;
    for (let side = at; side < at + 3; side += 1) {
      const point = [0, 1, 2].map(axis => points[3 * faces[side] + axis] + offset[axis] - scene.center[axis]);
      flat.push(x + fit * dot(right, point), y - fit * dot(up, point));
      near += dot(toward, point);
    }
    const bright = 0.55 + 0.45 * Math.max(dot([right, up, toward].map(axis => dot(axis, normal)), LIGHT), 0);
    const isPlain = colors.length === 1;
    const own = isPlain ? 0 : kindOf(kinds[(at / 3) * 4 + column], column);
    made.push({
      flat, near, color: colors[own].map(value => value * bright), isHatched: !isPlain && own === scene.hatched,
      edges: edges.sides.subarray(at, at + 3),
    });
  }
  return made;
}

// --- the hand

let draw = null, isAsked = false, bodies = [];

function show() {
  if (isAsked || !draw) return;
  isAsked = true;
  requestAnimationFrame(() => {
    isAsked = false;
    const dots = Math.min(devicePixelRatio, 2);
    const [wide, high] = [Math.round(canvas.clientWidth * dots), Math.round(canvas.clientHeight * dots)];
    if (canvas.width !== wide || canvas.height !== high) { canvas.width = wide; canvas.height = high; }
    draw(sceneOf(bodies));
  });
}

const within = (value, most) => Math.min(Math.max(value, -most), most);

/** Turn the wheel, and lift or lower what stands on it. [degree] */
function turnBy(turn, tilt) {
  view.turn = (view.turn + turn + 360) % 360;
  view.tilt = within(view.tilt + tilt, 90);
  sayView();
  show();
}

/** Bring the piece so many times nearer, about a place of the picture: -1 to 1 to the right and up. */
function nearer(times, across = 0, up = 0) {
  const before = view.near;
  view.near = Math.min(Math.max(before * times, 1), MOST_NEAR);
  const grown = view.near / before;
  moveTo(across + (view.across - across) * grown, up + (view.up - up) * grown);
  return grown !== 1;
}

/** Move the picture, as far as there is more of it than is seen. */
function moveTo(across, up) {
  view.across = within(across, view.near - 1);
  view.up = within(up, view.near - 1);
  show();
}

function asAtFirst() {
  Object.assign(view, FIRST);
  turnBy(0, 0);
}

/** Set the wheel and the lift as the piece stands, and say how that is. */
function sayView() {
  const turned = Math.round(360 - view.turn) % 360, tilt = Math.round(view.tilt);
  const quarter = Math.round(view.turn / 90), off = Math.round(view.turn - 90 * quarter);
  const side = SIDES[quarter % 4], next = SIDES[(quarter + (off > 0 ? 1 : 3)) % 4];
  wheel.setAttribute("aria-valuenow", turned);
  wheel.setAttribute("aria-valuetext", off ? `${Math.abs(off)}° from ${side} toward ${next}` : `${side} toward you`);
  for (const mark of wheel.querySelectorAll("[data-at]")) setMark(mark);
  const below = `Below your eye by ${tilt}°: you look down on it.`, above = `Above your eye by ${-tilt}°: you look up at its foot.`;
  const words = tilt > 0 ? below : tilt < 0 ? above : "Level with your eye.";
  document.getElementById("lift-words").textContent = words;
  lift.value = -tilt;
  lift.setAttribute("aria-valuetext", words);
}

// --- the banding wheel, drawn in a box of 400 by 144

const WHEEL = { across: 200, down: 50, wide: 192, high: 48 };

/** Draw what goes round with the wheel: a line each 15°, and the sides of the piece. */
function markWheel() {
  const marks = document.getElementById("wheel-marks");
  const add = (name, at) => {
    const mark = document.createElementNS("http://www.w3.org/2000/svg", name);
    mark.dataset.at = at;
    return marks.appendChild(mark);
  };
  for (let at = 0; at < 360; at += 15) add("line", at);
  SIDES.forEach((side, quarter) => { add("text", 90 * quarter).textContent = side; });
}

/** Set a mark of the wheel where it stands now. */
function setMark(mark) {
  const angle = radians(mark.dataset.at - 90 - view.turn);
  const set = (names, share, down = 0) => {
    mark.setAttribute(names[0], WHEEL.across + share * WHEEL.wide * Math.cos(angle));
    mark.setAttribute(names[1], WHEEL.down - share * WHEEL.high * Math.sin(angle) + down);
  };
  if (mark.tagName === "text") { set(["x", "y"], 0.7, 6); return; }
  set(["x1", "y1"], mark.dataset.at % 90 ? 0.94 : 0.88);
  set(["x2", "y2"], 0.98);
}

/** Return where on the wheel a finger is: the angle as it is seen, against the clock from the right. [degree] */
function onWheel(event) {
  const box = wheel.querySelector("svg").getBoundingClientRect(), dots = 400 / box.width;
  const x = ((event.clientX - box.left) * dots - WHEEL.across) / WHEEL.wide;
  const y = (WHEEL.down - (event.clientY - box.top) * dots) / WHEEL.high;
  return (Math.atan2(y, x) * 180) / Math.PI;
}

function listenToWheel() {
  let last = null, began = null;
  wheel.addEventListener("pointerdown", event => {
    wheel.setPointerCapture(event.pointerId);
    [last, began] = [onWheel(event), event];
  });
  wheel.addEventListener("pointermove", event => {
    if (last === null) return;
    const now = onWheel(event);
    turnBy(((last - now + 540) % 360) - 180, 0);
    last = now;
  });
  wheel.addEventListener("pointerup", event => {
    if (!began || Math.hypot(event.clientX - began.clientX, event.clientY - began.clientY) > A_TAP) return;
    const tapped = onWheel(event) + 90; // a side that is nearly meant is meant
    const side = 90 * Math.round((view.turn + tapped) / 90);
    turnBy(Math.abs(side - view.turn - tapped) < 30 ? side - view.turn : tapped, 0);
  });
  wheel.addEventListener("lostpointercapture", () => { last = began = null; });
  wheel.addEventListener("keydown", event => {
    const turn = {
      ArrowLeft: 5, ArrowDown: 5, ArrowRight: -5, ArrowUp: -5, PageDown: 45, PageUp: -45,
      Home: -view.turn, End: 180 - view.turn,
    }[event.key];
    if (turn === undefined) return;
    event.preventDefault();
    turnBy(turn, 0);
  });
}

/** Show the key to the colors that are chosen; a browser may bring back another choice than the first. */
function showKey() {
  for (const key of stage.querySelectorAll("[data-key]")) key.hidden = key.dataset.key !== chosen();
}

/** Say which parts are off, and which is on its way. */
function sayApart() {
  const done = (slider.value / 100) * told.parts.length;
  const off = told.parts.slice(0, Math.floor(done)).map(one => one.name);
  const said = off.length ? [`Off: ${off.join(", ")}.`] : [];
  if (done % 1) said.push(`Coming off: ${told.parts[Math.floor(done)].name}.`);
  const words = said.join(" ") || "Closed.";
  stage.querySelector("[data-off]").textContent = words;
  slider.setAttribute("aria-valuetext", words);
}

function listen() {
  const fingers = new Map(); // where each finger was, or the mouse
  canvas.addEventListener("pointerdown", event => {
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, event);
  });
  canvas.addEventListener("pointermove", event => {
    const last = fingers.get(event.pointerId);
    if (!last) return;
    const other = [...fingers.values()].find(one => one.pointerId !== event.pointerId);
    if (other) pinch(other, last, event);
    else turnBy(0.5 * (last.clientX - event.clientX), 0.5 * (event.clientY - last.clientY));
    fingers.set(event.pointerId, event);
  });
  canvas.addEventListener("lostpointercapture", event => { fingers.delete(event.pointerId); });
  canvas.addEventListener("touchmove", event => { if (event.touches.length > 1) event.preventDefault(); }, { passive: false });
  canvas.addEventListener("wheel", event => {
    // where it can come no nearer, or go no farther, the page is scrolled as ever
    if (nearer(Math.exp(-0.0015 * event.deltaY), ...inPicture(event))) event.preventDefault();
  }, { passive: false });
  canvas.addEventListener("keydown", event => {
    const way = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way) return;
    event.preventDefault();
    if (event.shiftKey) moveTo(view.across + 0.2 * way[0], view.up + 0.2 * way[1]);
    else turnBy(5 * way[0], 5 * way[1]);
  });
  stage.addEventListener("keydown", event => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "+" || event.key === "=") nearer(1.2);
    if (event.key === "-") nearer(1 / 1.2);
    if (event.key === "0") asAtFirst();
  });
  for (const button of stage.querySelectorAll("[data-nearer]")) {
    button.addEventListener("click", () => nearer(Number(button.dataset.nearer)));
  }
  stage.querySelector("[data-anew]").addEventListener("click", asAtFirst);
  lift.addEventListener("input", () => turnBy(0, -lift.value - view.tilt));
  slider.addEventListener("input", () => { sayApart(); show(); });
  stage.addEventListener("change", () => { showKey(); show(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
  new ResizeObserver(show).observe(canvas);
  canvas.addEventListener("webglcontextlost", event => { event.preventDefault(); draw = null; });
  canvas.addEventListener("webglcontextrestored", () => { draw = byWebGL(bodies); show(); });
}

/** Return where in the picture a finger is: -1 to 1, to the right and up. */
function inPicture({ clientX, clientY }) {
  const box = canvas.getBoundingClientRect();
  return [(2 * (clientX - box.left)) / box.width - 1, 1 - (2 * (clientY - box.top)) / box.height];
}

/** Follow one of two fingers: what lies between them grows and moves with them. */
function pinch(other, last, now) {
  const apart = one => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY) || 1;
  const middle = one => inPicture(one).map((value, axis) => (value + inPicture(other)[axis]) / 2);
  const [was, is] = [middle(last), middle(now)];
  nearer(apart(now) / apart(last), ...was);
  moveTo(view.across + is[0] - was[0], view.up + is[1] - was[1]);
}

async function start() {
  const waits = place.querySelector("[data-wait]");
  waits.textContent = "The model is being fetched; the pictures below show the same.";
  const answer = await fetch(told.from).catch(() => null);
  if (!answer?.ok) { waits.textContent = "The model could not be fetched; the pictures below show the same."; return; }
  bodies = bodiesOf(await answer.arrayBuffer());
  const gl = byWebGL(bodies);
  draw = gl ?? byTriangles();
  if (!draw) { waits.textContent = "This browser cannot draw the model; the pictures below show the same."; return; }
  canvas.dataset.drawn = gl ? "webgl" : "triangles";
  waits.remove();
  stage.hidden = false;
  sayApart();
  showKey();
  markWheel();
  sayView();
  listenToWheel();
  listen();
  show();
}

start();
