/**
 * The blocks in space: an upright view from a corner, turned by eighths, drawn when something changed.
 *
 * Fill and hatch are those of the plan, read from the same tokens, and no light changes them: how
 * light a fill is says how likely it is.  Edges part the faces.  Nothing moves by itself.
 */
import {
  CanvasTexture, Color, EdgesGeometry, ExtrudeGeometry, Group, LineBasicMaterial,
  LineSegments, Mesh, OrthographicCamera, Raycaster, RepeatWrapping, Scene, Shape, SRGBColorSpace,
  TubeGeometry, CatmullRomCurve3, MeshBasicMaterial, Vector2, Vector3, WebGLRenderer, type BufferGeometry, type Material,
} from "three";
import type { Point } from "../../geometry/frame";
import type { Block } from "./solids";

/** Class of a chance, 1 to 5; 0: cannot be told yet; -1: not calculated. */
export type Class = -1 | 0 | 1 | 2 | 3 | 4 | 5;
export interface Shown extends Block {
  readonly chance: Class;
}
export interface Scenery {
  readonly rooms: readonly { readonly outline: readonly Point[]; readonly floor: number }[];
  readonly walls: readonly { readonly outline: readonly Point[]; readonly floor: number; readonly high: number }[];
  readonly blocks: readonly Shown[];
  readonly runs: readonly (readonly (readonly [number, number, number])[])[];
}

/** How wide one tile of hatch is. [m] */
const TILE = 0.24;
/** How steeply one looks down. [rad] */
const DOWN = 0.72;
const EIGHTH = Math.PI / 4;
/** What the buttons take above, and below. [px] */
const ASIDE = 64;

const place = (x: number, y: number, z: number): Vector3 => new Vector3(x, z, -y);

export class Stage {
  private readonly renderer: WebGLRenderer;
  private readonly camera = new OrthographicCamera(-1, 1, 1, -1, -100, 200);
  private readonly scene = new Scene();
  private content = new Group();
  private corners: readonly Vector3[] = [];
  private materials = new Map<string, Material>();
  private readonly tokens: CSSStyleDeclaration;
  /** Which way one looks, in eighths of a turn from the south. */
  turn = 1;

  /** Throws where the browser has no WebGL. */
  constructor(canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.tokens = getComputedStyle(document.documentElement);
    this.scene.add(this.content);
  }

  /** As figures: a system colour of the reader's own is no word that the scene knows. */
  private token = (name: string): string => {
    const pen = document.createElement("canvas").getContext("2d");
    const value = this.tokens.getPropertyValue(`--${name}`).trim();
    if (!pen) return value;
    pen.fillStyle = value;
    return String(pen.fillStyle);
  };

  show = (scenery: Scenery): void => {
    this.clear();
    this.scene.background = new Color(this.token("paper"));
    for (const one of scenery.rooms) this.add(solid(one.outline, one.floor - 0.02, one.floor), this.flat("tray"));
    for (const one of scenery.walls) this.add(solid(one.outline, one.floor, one.high), this.flat("well"));
    for (const one of scenery.blocks) {
      const mesh = this.add(solid(one.outline, one.bottom, one.top), this.chance(one.chance));
      mesh.userData["id"] = one.id;
      if (one.chance < 0) mesh.visible = false;
    }
    for (const one of scenery.runs) this.run(one);
    this.corners = [
      ...scenery.rooms.flatMap((one) => one.outline.map(([x, y]) => place(x, y, one.floor))),
      ...scenery.blocks.flatMap((one) => one.outline.flatMap(([x, y]) => [place(x, y, one.bottom), place(x, y, one.top)])),
    ];
    this.draw();
  };

  draw = (): void => {
    const canvas = this.renderer.domElement;
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    if (!width || !height) return;
    this.renderer.setSize(width, height, false);
    const angle = this.turn * EIGHTH;
    const off = new Vector3(Math.sin(angle) * Math.cos(DOWN), Math.sin(DOWN), Math.cos(angle) * Math.cos(DOWN));
    this.camera.position.copy(off).multiplyScalar(50);
    this.camera.lookAt(0, 0, 0);
    this.camera.updateMatrixWorld();
    this.frame(width, height);
    this.camera.updateProjectionMatrix();
    this.renderer.render(this.scene, this.camera);
  };

  /** Takes all of the building in, clear of the buttons above and below. */
  private frame = (width: number, height: number): void => {
    const seen = (this.corners.length ? this.corners : [place(0, 0, 0), place(4, 3, 0)]).map((one) =>
      one.clone().applyMatrix4(this.camera.matrixWorldInverse),
    );
    const [xs, ys] = [seen.map((one) => one.x), seen.map((one) => one.y)];
    const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const aside = Math.min(2 * ASIDE, height / 2);
    const scale = Math.max((right - left) / (width - 24), (high - low) / (height - aside));
    const [x, y] = [(left + right) / 2, (low + high) / 2];
    [this.camera.left, this.camera.right] = [x - (scale * width) / 2, x + (scale * width) / 2];
    [this.camera.bottom, this.camera.top] = [y - (scale * height) / 2, y + (scale * height) / 2];
  };

  /** Where a point of the building lies on the screen. [px] */
  onScreen = (x: number, y: number, z: number): readonly [number, number] => {
    const { clientWidth, clientHeight } = this.renderer.domElement;
    const at = place(x, y, z).project(this.camera);
    return [((at.x + 1) / 2) * clientWidth, ((1 - at.y) / 2) * clientHeight];
  };

  /** The block under a point of the screen, if any. [px] */
  blockAt = (x: number, y: number): string | undefined => {
    const { clientWidth, clientHeight } = this.renderer.domElement;
    const ray = new Raycaster();
    ray.setFromCamera(new Vector2((2 * x) / clientWidth - 1, 1 - (2 * y) / clientHeight), this.camera);
    const hit = ray.intersectObjects(this.content.children, false).find((one) => one.object.userData["id"] && one.object.visible);
    return hit?.object.userData["id"] as string | undefined;
  };

  end = (): void => {
    this.clear();
    this.renderer.dispose();
  };

  /** Materials go too: the next show may be in the colours of the night. */
  private clear = (): void => {
    for (const one of this.content.children as (Mesh | LineSegments)[]) one.geometry.dispose();
    this.content.clear();
    for (const one of this.materials.values()) {
      if (one instanceof MeshBasicMaterial) one.map?.dispose();
      one.dispose();
    }
    this.materials.clear();
  };

  private add = (geometry: BufferGeometry, material: Material): Mesh => {
    const mesh = new Mesh(geometry, material);
    this.content.add(mesh, new LineSegments(new EdgesGeometry(geometry, 20), this.line("ink")));
    return mesh;
  };

  private run = (points: readonly (readonly [number, number, number])[]): void => {
    if (points.length < 2) return;
    const curve = new CatmullRomCurve3(points.map((one) => place(...one)), false, "centripetal", 0.1);
    for (const [token, thick, first] of [["paper", 0.07, 1], ["route", 0.045, 2]] as const) {
      const mesh = new Mesh(new TubeGeometry(curve, points.length * 8, thick, 6), this.over(token));
      mesh.renderOrder = first;
      this.content.add(mesh);
    }
  };

  private kept = <T extends Material>(key: string, make: () => T): T => {
    const old = this.materials.get(key) as T | undefined;
    if (old) return old;
    const made = make();
    this.materials.set(key, made);
    return made;
  };
  private flat = (token: string): Material =>
    this.kept(`flat ${token}`, () => new MeshBasicMaterial({ color: this.token(token) }));
  private line = (token: string): Material =>
    this.kept(`line ${token}`, () => new LineBasicMaterial({ color: this.token(token) }));
  /** Seen through everything: a run is hidden in the blocks. */
  private over = (token: string): Material =>
    this.kept(`over ${token}`, () => new MeshBasicMaterial({ color: this.token(token), depthTest: false, transparent: true }));
  private chance = (n: Class): Material =>
    this.kept(`chance ${n}`, () => new MeshBasicMaterial({ map: hatched(n, this.token) }));
}

/** A block: its outline from one height to another. */
const solid = (outline: readonly Point[], bottom: number, top: number): BufferGeometry => {
  const shape = new Shape(outline.map(([x, y]) => new Vector2(x, y)));
  const geometry = new ExtrudeGeometry(shape, { depth: Math.max(0.01, top - bottom), bevelEnabled: false });
  geometry.rotateX(-Math.PI / 2);
  geometry.translate(0, bottom, 0);
  return geometry;
};

/** One tile of a class's fill and hatch; open rings where it cannot be told yet. */
const hatched = (n: Class, token: (name: string) => string): CanvasTexture => {
  const size = 96;
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [size, size];
  const pen = canvas.getContext("2d")!;
  pen.fillStyle = n > 0 ? token(`chance-${n}`) : token("tray");
  pen.fillRect(0, 0, size, size);
  pen.lineWidth = 5;
  if (n === 0) {
    pen.strokeStyle = token("ink");
    pen.beginPath();
    pen.arc(size / 2, size / 2, size / 5, 0, 2 * Math.PI);
    pen.stroke();
  }
  pen.strokeStyle = token("hatch");
  const step = { "2": size, "3": size / 2, "4": size / 2 }[String(n)];
  if (step) {
    for (let at = -size; at <= 2 * size; at += step) {
      pen.beginPath();
      pen.moveTo(at, size);
      pen.lineTo(at + size, 0);
      if (n === 4) {
        pen.moveTo(at, 0);
        pen.lineTo(at + size, size);
      }
      pen.stroke();
    }
  }
  const made = new CanvasTexture(canvas);
  made.colorSpace = SRGBColorSpace;
  made.wrapS = made.wrapT = RepeatWrapping;
  made.repeat.set(1 / TILE, 1 / TILE);
  made.anisotropy = 4;
  return made;
};
