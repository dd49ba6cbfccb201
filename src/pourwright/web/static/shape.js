// The piece and its mold, turned by hand and pulled apart. Drawn by WebGL; where a browser has none,
// triangle by triangle, the farthest first. Nothing moves by itself.

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
const view = { turn: fromAside(), tilt: 24 };

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

/** Return the corners of the edges to draw, two each: creases, and where another part takes over. */
function edgesOf(faces, normals, kinds, corners) {
  const first = new Map(), drawn = [];
  faces.forEach((from, side) => {
    const own = side - (side % 3), to = faces[own + ((side + 1) % 3)];
    const edge = Math.min(from, to) * corners + Math.max(from, to);
    const other = first.get(edge);
    if (other === undefined) { first.set(edge, own); return; }
    const bend = normals[own] * normals[other] + normals[own + 1] * normals[other + 1] + normals[own + 2] * normals[other + 2];
    if (bend < CREASE || kinds[(own / 3) * 4] !== kinds[(other / 3) * 4]) drawn.push(from, to);
  });
  return new Uint32Array(drawn);
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
  return 0.48 * Math.min(canvas.width / wide, canvas.height / tall);
}

// --- by WebGL

const CORNER = `
attribute vec3 corner, shade, kind;
uniform vec3 offset, center, right, up, toward, light, column, colors[8];
uniform vec2 scale;
uniform float depth, hatched, lit;
varying vec3 color;
varying float hatch;
void main() {
  vec3 at = corner + offset - center;
  gl_Position = vec4(dot(right, at) * scale.x, dot(up, at) * scale.y, -dot(toward, at) / depth, 1.0);
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
  bool is_stripe = hatch > 0.5 && mod(gl_FragCoord.x + gl_FragCoord.y, 9.0 * dots) < 3.0 * dots;
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
    edges: kept(spread(body.points, body.edges)),
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
      gl.drawArrays(gl.LINES, 0, body.edges.length);
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
    pen.clearRect(0, 0, canvas.width, canvas.height);
    for (const { flat, color } of drawn.sort((one, other) => one.near - other.near)) {
      pen.fillStyle = pen.strokeStyle = `rgb(${color.map(value => Math.round(255 * value)).join(" ")})`;
      pen.beginPath();
      for (let n = 0; n < 6; n += 2) pen.lineTo(flat[n], flat[n + 1]);
      pen.closePath();
      pen.fill();
      pen.stroke(); // or light would shine through between neighbors
    }
  };
}

/** Return the triangles of a body that face who looks: where they are drawn, in which color, how near. */
function facing(body, scene, right, up, toward, fit) {
  const made = [], { faces, points, normals, kinds, offset, colors, column } = body;
  for (let at = 0; at < faces.length; at += 3) {
    const normal = normals.subarray(at, at + 3);
    if (dot(normal, toward) <= 0) continue;
    const flat = [];
    let near = 0;
    for (let side = at; side < at + 3; side += 1) {
      const point = [0, 1, 2].map(axis => points[3 * faces[side] + axis] + offset[axis] - scene.center[axis]);
      flat.push(canvas.width / 2 + fit * dot(right, point), canvas.height / 2 - fit * dot(up, point));
      near += dot(toward, point);
    }
    const bright = 0.55 + 0.45 * Math.max(dot([right, up, toward].map(axis => dot(axis, normal)), LIGHT), 0);
    const own = colors.length === 1 ? 0 : kindOf(kinds[(at / 3) * 4 + column], column);
    made.push({ flat, near, color: colors[own].map(value => value * bright) });
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

function turnBy(turn, tilt) {
  view.turn = (view.turn + turn) % 360;
  view.tilt = Math.min(Math.max(view.tilt + tilt, -90), 90);
  show();
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
  let last = null; // where the finger or the mouse was
  canvas.addEventListener("pointerdown", event => {
    if (!event.isPrimary) return;
    canvas.setPointerCapture(event.pointerId);
    last = event;
  });
  canvas.addEventListener("pointermove", event => {
    if (!last || event.pointerId !== last.pointerId) return;
    turnBy(0.5 * (last.clientX - event.clientX), 0.5 * (event.clientY - last.clientY));
    last = event;
  });
  canvas.addEventListener("lostpointercapture", () => { last = null; });
  canvas.addEventListener("keydown", event => {
    const turn = { ArrowLeft: [5, 0], ArrowRight: [-5, 0], ArrowUp: [0, -5], ArrowDown: [0, 5] }[event.key];
    if (!turn) return;
    event.preventDefault();
    turnBy(...turn);
  });
  for (const button of stage.querySelectorAll("[data-turn]")) {
    button.addEventListener("click", () => turnBy(...button.dataset.turn.split(" ").map(Number)));
  }
  slider.addEventListener("input", () => { sayApart(); show(); });
  stage.addEventListener("change", () => { showKey(); show(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
  new ResizeObserver(show).observe(canvas);
  canvas.addEventListener("webglcontextlost", event => { event.preventDefault(); draw = null; });
  canvas.addEventListener("webglcontextrestored", () => { draw = byWebGL(bodies); show(); });
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
  listen();
  show();
}

start();
