// What stands in a picture in space, drawn on the screen by WebGL (three.js in `vendor/`): nearer things hide farther ones. It draws what
// `flat.js` draws; colors, widths and dashes come from the same style sheet. Words and what moves with the clock stay SVG, above it, so that
// this is drawn only when the flight, the eye, the size or the colors change: a scrubber costs a browser without a graphics processor nothing.
import {
  BackSide, BufferAttribute, BufferGeometry, Color, ColorManagement, FrontSide, GreaterDepth, LinearSRGBColorSpace, LineMaterial, LineSegmentsGeometry, Mesh,
  MeshBasicMaterial, NotEqualStencilFunc, PerspectiveCamera, ReplaceStencilOp, Scene, WebGLRenderer,
} from '../vendor/three.js';
import { cameraOf } from './camera.js';
import { HEIGHT, WIDTH } from './shared.js';

/** @typedef {import('../types').Shape} Shape */
/** @typedef {import('../types').Space} Space */
/** @typedef {import('../types').Place} Place */
/** @typedef {{ stroke: Color | null, width: number, dashes: number[], butt: boolean, opacity: number, fill: Color | null, fillOpacity: number }} Style */

/** What is laid down first, and what after: ground, bands, lines seen faintly through them, lines, fine lines. */
const LAYER = { ground: 0, strip: 100, through: 200, stroke: 300, fine: 400 };
/** A hidden line shows so strongly through what hides it. */
const THROUGH = 0.3;
/** A band seen along its side lies farther than what is drawn on it: in slopes of its own depth. */
const BEHIND = { polygonOffset: true, polygonOffsetFactor: 2, polygonOffsetUnits: 0 };
/** Lines go before the band that they lie on, and of lines that nearly touch the one laid down later goes before: each counts as this much
 * nearer, in the smallest steps of depth, about a hundredth of the picture. */
const BEFORE = 10_000;
/** No line is finer than this, px. */
const LEAST_PX = 0.8;
/** Dashes are cut anew when the scale has changed by so much. */
const SCALE_CHANGED = 1.3;
const FINENESS = 2;
/** A dot is a line of this length, in units of the sheet, with round ends. */
const DOT_LENGTH = 0.05;

// Colors are mixed as the style sheet mixes them: as they stand, without a space of their own.
ColorManagement.enabled = false;

/** The frame of the entry is left-handed, that of WebGL is not: up is its second axis. @param {Place} p */
const turned = ([along, across, up]) => /** @type {const} */ ([along, up, across]);

/** Pixels of the canvas a pixel of the page: round ends of lines are cut out of whole pixels, so these must be fine. */
const ratio = () => Math.min(3, Math.max(FINENESS, devicePixelRatio || 1));

/** Reads what the style sheet says. */
class Styles {
  /** @param {SVGSVGElement} sheet */
  constructor(sheet) {
    this.box = document.createElementNS('http://www.w3.org/2000/svg', 'defs');
    this.box.setAttribute('class', 'probe');
    sheet.append(this.box);
    /** @type {Map<string, Style>} */
    this.known = new Map();
  }
  /** @param {string} tag @param {string} name @returns {Style} */
  of(tag, name) {
    const key = `${tag}.${name}`, known = this.known.get(key);
    if (known) return known;
    const probe = document.createElementNS('http://www.w3.org/2000/svg', tag);
    probe.setAttribute('class', name);
    this.box.append(probe);
    const says = getComputedStyle(probe), number = (/** @type {string} */ text) => Number.parseFloat(text) || 0;
    const color = (/** @type {string} */ text) => (text === 'none' ? null : new Color(text.replace(/\s*\/.*(?=\))/, '')));
    const style = {
      stroke: color(says.stroke), width: number(says.strokeWidth), dashes: says.strokeDasharray === 'none' ? [] : says.strokeDasharray.split(/[\s,]+/).map(number), butt: says.strokeLinecap === 'butt',
      opacity: number(says.opacity), fill: color(says.fill), fillOpacity: number(says.fillOpacity),
    };
    probe.remove();
    this.known.set(key, style);
    return style;
  }
  /** What the page is painted with. */
  get ground() { return /** @type {Color} */ (this.of('circle', 'dot').fill); }
}

/** Cuts a line into its dashes. @param {Place[]} points @param {Style} style @param {number} unit meters of a unit of the sheet @param {number[]} out six numbers a piece */
function dashed(points, { dashes, width, butt }, unit, out) {
  if (!dashes.length) {
    for (let i = 1; i < points.length; i++) out.push(...turned(points[i - 1]), ...turned(points[i]));
    return;
  }
  // Pieces have round ends: where the style sheet wants them cut, they are shorter by those.
  const ends = butt ? width : 0, lengths = dashes.map((length, i) => Math.max(DOT_LENGTH, length + (i % 2 ? ends : -ends)) * unit);
  let turn = 0, left = lengths[0];
  for (let i = 1; i < points.length; i++) {
    const from = points[i - 1], to = points[i], whole = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    const between = (/** @type {number} */ far) => turned(/** @type {Place} */ (from.map((value, k) => value + ((to[k] - value) * far) / whole)));
    for (let walked = 0; walked < whole;) {
      const step = Math.min(left, whole - walked);
      if (turn % 2 === 0) out.push(...between(walked), ...between(walked + step));
      walked += step;
      left -= step;
      if (left <= 1e-9) left = lengths[++turn % lengths.length];
    }
  }
}

/** Corners of one piece of a fat line, as the shader of three.js wants them. */
const PIECE = (() => {
  const { index, attributes } = new LineSegmentsGeometry();
  return { corners: attributes.position.count, position: attributes.position.array, uv: attributes.uv.array, index: /** @type {BufferAttribute} */ (index).array };
})();
/** What a corner knows of its piece, and whether it is its first or its second end. @type {[string, 0 | 1][]} */
const ENDS = [['instanceStart', 0], ['instanceEnd', 1]], COLORS = /** @type {[string, 0 | 1][]} */ ([['instanceColorStart', 0], ['instanceColorEnd', 1]]);

/** Line pieces that are drawn at once. Each has its own corners: a browser that draws without a graphics processor takes a tenth of a
 * millisecond for each piece that shares them as an instance. */
class Lines {
  /** @param {LineMaterial} material @param {number} order */
  constructor(material, order) {
    this.object = new Mesh(new BufferGeometry(), material);
    this.object.frustumCulled = false;
    this.object.renderOrder = order;
    this.room = 0;
  }
  /** @param {number[]} pieces six numbers each @param {number[]} [colors] the same */
  set(pieces, colors) {
    const count = pieces.length / 6, { geometry } = this.object;
    if (count > this.room) {
      this.room = count;
      geometry.dispose();
      const repeated = (/** @type {ArrayLike<number>} */ values) => { const out = new Float32Array(values.length * count); for (let i = 0; i < count; i++) out.set(values, i * values.length); return out; };
      geometry.setAttribute('position', new BufferAttribute(repeated(PIECE.position), 3));
      geometry.setAttribute('uv', new BufferAttribute(repeated(PIECE.uv), 2));
      for (const [name] of [...ENDS, ...(colors ? COLORS : [])]) geometry.setAttribute(name, new BufferAttribute(new Float32Array(3 * PIECE.corners * count), 3));
      const index = new Uint32Array(PIECE.index.length * count);
      for (let i = 0; i < index.length; i++) index[i] = PIECE.index[i % PIECE.index.length] + PIECE.corners * Math.floor(i / PIECE.index.length);
      geometry.setIndex(new BufferAttribute(index, 1));
    }
    for (const [values, names] of /** @type {const} */ ([[pieces, ENDS], [colors ?? [], colors ? COLORS : []]])) {
      for (const [name, end] of names) {
        const attribute = geometry.attributes[name], array = /** @type {Float32Array} */ (attribute.array);
        for (let i = 0, at = 0; i < count; i++) {
          const from = 6 * i + 3 * end;
          for (let corner = 0; corner < PIECE.corners; corner++) { array[at++] = values[from]; array[at++] = values[from + 1]; array[at++] = values[from + 2]; }
        }
        attribute.needsUpdate = true;
      }
    }
    geometry.setDrawRange(0, PIECE.index.length * count);
    this.object.visible = count > 0;
  }
  dispose() { this.object.geometry.dispose(); }
}

/** Triangles that are drawn at once. */
class Faces {
  /** @param {MeshBasicMaterial} material @param {number} order */
  constructor(material, order) {
    this.object = new Mesh(new BufferGeometry(), material);
    this.object.frustumCulled = false;
    this.object.renderOrder = order;
    this.room = 0;
  }
  /** @param {number[]} corners nine numbers a triangle */
  set(corners) {
    const { geometry } = this.object;
    if (corners.length > this.room) {
      geometry.dispose();
      geometry.setAttribute('position', new BufferAttribute(new Float32Array(corners), 3));
      this.room = corners.length;
    } else if (this.room) {
      const { position } = geometry.attributes;
      /** @type {Float32Array} */ (position.array).set(corners);
      position.needsUpdate = true;
    }
    geometry.setDrawRange(0, corners.length / 3);
    this.object.visible = corners.length > 0;
  }
  dispose() { this.object.geometry.dispose(); }
}

/** The shapes of a space. Objects are made once for each name and filled anew. */
class Batch {
  /** @param {Depth} whole */
  constructor(whole) {
    this.whole = whole;
    this.scene = whole.scene;
    /** @type {Map<string, Lines | Faces>} */
    this.objects = new Map();
  }
  /** @template {Lines | Faces} Kind @param {string} key @param {() => Kind} make @returns {Kind} */
  object(key, make) {
    const known = /** @type {Kind | undefined} */ (this.objects.get(key));
    if (known) return known;
    const made = make();
    this.objects.set(key, made);
    this.scene.add(made.object);
    return made;
  }
  /** @param {{ ground: Shape[], air: Shape[] }} shapes @param {import('./camera.js').Camera} camera */
  set({ ground, air }, camera) {
    const unit = camera.far / camera.scale, { styles } = this.whole;
    /** @type {Map<string, { make: () => Lines | Faces, values: number[], colors?: number[] }>} */
    const filled = new Map();
    let solids = 0;
    const fill = (/** @type {string} */ key, /** @type {() => Lines | Faces} */ make) => {
      let found = filled.get(key);
      if (!found) filled.set(key, found = { make, values: [] });
      return found;
    };
    for (const [shapes, lies] of /** @type {[Shape[], boolean][]} */ ([[ground, true], [air, false]])) {
      for (const shape of shapes) {
        const { name } = /** @type {any} */ (shape);
        if (shape.kind === 'line') {
          const style = styles.of('polyline', name), solid = shape.through === true;
          const layer = lies ? LAYER.ground : solid ? LAYER.stroke : LAYER.fine, before = lies ? 0 : solid ? ++solids : 1;
          dashed(shape.points, style, unit, fill(`line ${name}`, () => this.whole.lines(style, layer, { writes: solid, before })).values);
          if (solid) dashed(shape.points, style, unit, fill(`through ${name}`, () => this.whole.lines(style, LAYER.through, { hidden: true, before })).values);
        } else if (shape.kind === 'mesh') {
          const style = styles.of('polyline', name), into = fill(`mesh ${name}`, () => this.whole.lines({ ...style, opacity: 1 }, LAYER.ground, { colored: true })), colors = (into.colors ??= []);
          const shade = (/** @type {number} */ share) => styles.ground.clone().lerp(style.stroke ?? styles.ground, share * style.opacity).toArray();
          for (const { ends, shares } of shape.segments) { into.values.push(...turned(ends[0]), ...turned(ends[1])); colors.push(...shade(shares[0]), ...shade(shares[1])); }
        } else if (shape.kind === 'dot') {
          const style = styles.of('circle', name), wide = style.stroke ? style.width : 0, foot = turned(shape.at), top = turned(/** @type {Place} */ ([shape.at[0], shape.at[1], shape.at[2] + DOT_LENGTH * unit]));
          const layer = lies ? LAYER.ground + 20 : LAYER.fine;
          if (style.stroke) fill(`rim ${name}`, () => this.whole.lines({ ...style, dashes: [], width: 2 * shape.radius + wide }, layer, {})).values.push(...foot, ...top);
          if (style.fill) fill(`dot ${name}`, () => this.whole.lines({ ...style, dashes: [], stroke: style.fill, opacity: style.opacity * style.fillOpacity, width: 2 * shape.radius - wide }, layer + 1, {})).values.push(...foot, ...top);
        } else if (shape.kind === 'strip') {
          const corners = /** @type {number[]} */ ([]);
          for (let i = 1; i < shape.edges.length; i++) {
            const [[a, b], [c, d]] = [shape.edges[i - 1], shape.edges[i]].map(pair => pair.map(turned));
            corners.push(...a, ...b, ...d, ...a, ...d, ...c);
          }
          for (const side of /** @type {const} */ (['top', 'under'])) {
            const style = styles.of('polygon', `${name} ${side}`);
            if (!style.fill) continue;
            const { values } = fill(`strip ${name} ${side}`, () => this.whole.band(style, side === 'top'));
            for (const corner of corners) values.push(corner);
          }
        }
      }
    }
    for (const [key, { make, values, colors }] of filled) {
      const object = this.object(key, make);
      if (object instanceof Lines) object.set(values, colors); else object.set(values);
    }
    for (const [key, object] of this.objects) if (!filled.has(key)) object.set([]);
  }
  dispose() {
    for (const object of this.objects.values()) { this.scene.remove(object.object); object.dispose(); }
    this.objects.clear();
  }
}

export class Depth {
  /** Null where the browser draws no depth. @param {HTMLCanvasElement} canvas @param {SVGSVGElement} sheet the words above it */
  static on(canvas, sheet) {
    const context = canvas.getContext('webgl2', { alpha: true, antialias: true, depth: true, stencil: true, premultipliedAlpha: true });
    return context ? new Depth(canvas, sheet, context) : null;
  }
  /** @param {HTMLCanvasElement} canvas @param {SVGSVGElement} sheet @param {WebGL2RenderingContext} context */
  constructor(canvas, sheet, context) {
    this.canvas = canvas;
    this.sheet = sheet;
    this.renderer = new WebGLRenderer({ canvas, context, antialias: true, stencil: true, alpha: true });
    this.renderer.debug.checkShaderErrors = false;
    this.renderer.outputColorSpace = LinearSRGBColorSpace;
    this.renderer.setClearAlpha(0);
    this.scene = new Scene();
    this.scene.matrixWorldAutoUpdate = false;
    this.eye = new PerspectiveCamera();
    this.eye.matrixAutoUpdate = false;
    this.eye.matrixWorldAutoUpdate = false;
    this.styles = new Styles(sheet);
    /** @type {(LineMaterial | MeshBasicMaterial)[]} */ this.materials = [];
    this.batch = new Batch(this);
    /** @type {Space | null} */ this.space = null;
    /** @type {import('../types').Orbit} */ this.orbit = { turn: 0, tilt: 0 };
    this.size = { width: 0, height: 0, left: 0, top: 0, unit: 1 };
    this.cut = 0;
    /** @type {number | null} */ this.frame = null;
    /** @type {unknown} */ this.drawnAt = null;
    this.measure();
  }

  /** @param {Style} style @param {number} layer @param {{ writes?: boolean, hidden?: boolean, colored?: boolean, before?: number }} how */
  lines(style, layer, { writes = false, hidden = false, colored = false, before = 0 }) {
    const opacity = style.opacity * (hidden ? THROUGH : 1), material = new LineMaterial({ color: colored ? 0xffffff : style.stroke ?? styleless, vertexColors: colored, transparent: true, opacity, depthWrite: writes && opacity === 1 });
    if (hidden) material.depthFunc = GreaterDepth;
    if (before) Object.assign(material, { polygonOffset: true, polygonOffsetUnits: -BEFORE * before });
    this.#once(material, opacity);
    material.userData.width = style.width;
    this.#fit(material);
    return new Lines(material, layer + this.materials.length / 100);
  }
  /** One side of a band: as strong over the ground as the style sheet says, and what lies behind is hidden. @param {Style} style @param {boolean} top */
  band(style, top) {
    const material = new MeshBasicMaterial({ color: this.styles.ground.clone().lerp(style.fill ?? styleless, style.fillOpacity), side: top ? FrontSide : BackSide, transparent: true, ...BEHIND });
    this.#once(material, 1);
    return new Faces(material, LAYER.strip + this.materials.length / 100);
  }
  /** Pieces of what is translucent lie over each other: each place is painted once. @param {LineMaterial | MeshBasicMaterial} material @param {number} opacity */
  #once(material, opacity) {
    this.materials.push(material);
    if (opacity === 1) return;
    Object.assign(material, { stencilWrite: true, stencilFunc: NotEqualStencilFunc, stencilRef: (this.materials.length % 255) + 1, stencilZPass: ReplaceStencilOp });
  }

  /** Takes the places of canvas and sheet on the page. */
  measure() {
    const own = this.canvas.getBoundingClientRect(), sheet = this.sheet.getBoundingClientRect(), unit = Math.min(sheet.width / WIDTH, sheet.height / HEIGHT);
    if (!own.width || !own.height || !unit) { this.size.width = 0; return; }
    this.size = { width: own.width, height: own.height, left: sheet.left - own.left + (sheet.width - unit * WIDTH) / 2, top: sheet.top - own.top + (sheet.height - unit * HEIGHT) / 2, unit };
    this.#resize(ratio());
  }
  /** @param {number} ratio */
  #resize(ratio) {
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(this.size.width, this.size.height, false);
    for (const material of this.materials) if (material instanceof LineMaterial) this.#fit(material);
  }
  /** As wide as the style sheet says, on this size of the sheet. @param {LineMaterial} material */
  #fit(material) {
    material.linewidth = Math.max(material.userData.width * this.size.unit, LEAST_PX);
    material.resolution.set(this.size.width, this.size.height);
  }

  /** @param {Space | null} space @param {import('../types').Orbit} orbit */
  set(space, orbit) {
    if (space !== this.space) this.cut = 0;
    this.space = space;
    this.orbit = orbit;
    this.#fill();
  }
  #fill() {
    const { space } = this;
    if (!space) return this.batch.set({ ground: [], air: [] }, NOTHING);
    const camera = cameraOf(space.sight, this.orbit), changed = Math.abs(Math.log(camera.scale / (this.cut || 1e-9)));
    if (changed > Math.log(SCALE_CHANGED)) { this.batch.set(space, camera); this.cut = camera.scale; }
    this.#look(camera, space.sight.size_m);
  }
  /** @param {import('./camera.js').Camera} camera @param {number} size_m */
  #look({ eye, ahead, right, up, window: seen }, size_m) {
    const [r, u, a, e] = [right, up, ahead, eye].map(turned), { width, height, left, top, unit } = this.size;
    this.eye.matrixWorld.set(r[0], u[0], -a[0], e[0], r[1], u[1], -a[1], e[1], r[2], u[2], -a[2], e[2], 0, 0, 0, 1);
    this.eye.matrixWorldInverse.copy(this.eye.matrixWorld).invert();
    const x = (/** @type {number} */ px) => seen.left + ((seen.right - seen.left) * (px - left)) / unit / WIDTH, y = (/** @type {number} */ px) => seen.top + ((seen.bottom - seen.top) * (px - top)) / unit / HEIGHT;
    const near = 0.2 * size_m, far = 8 * size_m;
    this.eye.projectionMatrix.makePerspective(near * x(0), near * x(width), -near * y(0), -near * y(height), near, far);
    this.eye.projectionMatrixInverse.copy(this.eye.projectionMatrix).invert();
  }

  /** Whether the browser took the graphics processor away. */
  get lost() { return this.renderer.getContext().isContextLost(); }
  /** Shaders are made while the page goes on, where the browser can do that. */
  async prepare() {
    if (this.renderer.getContext().getExtension('KHR_parallel_shader_compile')) await this.renderer.compileAsync(this.scene, this.eye);
  }
  /** At most once a frame: what comes later in the same frame is drawn in the next. */
  draw() {
    const now = document.timeline.currentTime;
    if (this.frame !== null) return;
    if (now !== this.drawnAt) { this.drawnAt = now; this.render(); } else this.frame = requestAnimationFrame(() => { this.frame = null; this.drawnAt = document.timeline.currentTime; this.render(); });
  }
  render() {
    if (!this.size.width) return;
    this.renderer.render(this.scene, this.eye);
  }
  /** The page has other colors. */
  restyle() {
    this.styles.known.clear();
    this.batch.dispose();
    for (const material of this.materials.splice(0)) material.dispose();
    this.cut = 0;
    this.#fill();
  }
  /** What is on the canvas, larger, on the ground of the page; for a file. @param {number} scale pixels a unit of the sheet @returns {HTMLCanvasElement} */
  picture(scale) {
    const { size } = this, out = document.createElement('canvas'), context = out.getContext('2d');
    [out.width, out.height] = [WIDTH * scale, HEIGHT * scale];
    this.size = { width: out.width, height: out.height, left: 0, top: 0, unit: scale };
    this.#resize(1);
    this.#fill();
    this.render();
    if (context) {
      context.fillStyle = this.styles.ground.getStyle();
      context.fillRect(0, 0, out.width, out.height);
      context.drawImage(this.canvas, 0, 0);
    }
    this.size = size;
    this.#resize(ratio());
    this.#fill();
    this.render();
    return out;
  }
  /** Gives everything back that it holds on the graphics processor. */
  dispose() {
    if (this.frame !== null) cancelAnimationFrame(this.frame);
    this.batch.dispose();
    for (const material of this.materials.splice(0)) material.dispose();
    this.renderer.dispose();
    this.styles.box.remove();
  }
}
const styleless = new Color(0x808080);
const NOTHING = /** @type {any} */ ({ far: 1, scale: 1 });
