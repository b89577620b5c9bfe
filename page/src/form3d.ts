/* The form in three dimensions, loaded when it is asked for: drawn only when something changed. */
import { AmbientLight, Box3, BufferAttribute, BufferGeometry, Color, DirectionalLight, Group, Line, LineBasicMaterial, Mesh, MeshLambertMaterial, PerspectiveCamera, Plane, Raycaster, Scene, Vector2, Vector3, WebGLRenderer, type Object3D } from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import { drawn, find } from "./elements";
import { hear, job, last, see } from "./page";
import { Away, bytes, Lane, Refused } from "./server";
import type { Section } from "./shapes";
import { laid, length, say } from "./words";

interface Room { renderer: WebGLRenderer; scene: Scene; camera: PerspectiveCamera; controls: OrbitControls; cut: Line; model: Group | null }
let room: Room | null = null, frame = 0, busy = false, again = false, first = true;
const shown: Record<string, boolean> = { upper: true, seam: true, stations: true, contours: true };

function ask(): void { cancelAnimationFrame(frame); frame = requestAnimationFrame(() => room?.renderer.render(room.scene, room.camera)); }

function token(name: string): Color { return new Color(getComputedStyle(document.documentElement).getPropertyValue(name).trim() || "#888"); }

/* Colours by day and by night, read as the browser works them out. */
function computed(name: string): Color {
  const probe = find("#solid");
  probe.style.setProperty("color", `var(${name})`);
  const text = getComputedStyle(probe).color;
  probe.style.removeProperty("color");
  return text.startsWith("rgb") ? new Color(text) : token(name);
}

function build(): Room | null {
  const box = find("#solid-picture");
  let renderer: WebGLRenderer;
  try { renderer = new WebGLRenderer({ antialias: true, alpha: true, preserveDrawingBuffer: true }); } catch { find("#solid-said").textContent = say("solid.no_screen"); return null; }
  renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
  renderer.domElement.setAttribute("role", "img");
  renderer.domElement.setAttribute("aria-label", say("solid.name"));
  box.append(renderer.domElement);
  const scene = new Scene(), camera = new PerspectiveCamera(28, 1, 0.01, 10);
  scene.add(new AmbientLight(0xffffff, 1.5));
  const sun = new DirectionalLight(0xffffff, 2.2);
  sun.position.set(-1, 1.5, 2);
  camera.add(sun);
  scene.add(camera);
  const controls = new OrbitControls(camera, renderer.domElement);
  controls.enableDamping = false;
  controls.addEventListener("change", ask);
  const cut = new Line(new BufferGeometry(), new LineBasicMaterial({ color: computed("--hand") }));
  cut.visible = false;
  scene.add(cut);
  const made: Room = { renderer, scene, camera, controls, cut, model: null };
  const size = (): void => { const w = box.clientWidth, h = Math.max(420, Math.min(760, window.innerHeight - 300)); renderer.setSize(w, h); camera.aspect = w / h; camera.updateProjectionMatrix(); ask(); };
  new ResizeObserver(size).observe(box);
  size();
  renderer.domElement.addEventListener("pointermove", (event) => point(event, made));
  renderer.domElement.addEventListener("webglcontextlost", (event) => event.preventDefault());
  return made;
}

function dress(model: Group): void {
  model.traverse((one: Object3D) => {
    if (one instanceof Mesh) {
      const coloured = (one.geometry as BufferGeometry).hasAttribute("color");
      const wood = /form/.test(one.name) || /form/.test(one.parent?.name ?? "");
      one.material = new MeshLambertMaterial({ color: wood ? computed("--birch") : computed("--leather"), vertexColors: coloured && !wood && see.stretch, flatShading: false, side: 2 });
    } else if (one instanceof Line) one.material = new LineBasicMaterial({ color: 0x14211d });
  });
}

function toggles(): void {
  for (const [name, on] of Object.entries(shown)) {
    find(`#solid-${name}`).setAttribute("aria-pressed", String(on));
    const node = room?.model?.getObjectByName(name);
    if (node) node.visible = on;
  }
  ask();
}

async function load(): Promise<void> {
  if (!room || busy) { again = true; return; }
  busy = true;
  again = false;
  try {
    const body = await bytes("/api/solid", { document: job.value });
    const loaded = await new GLTFLoader().parseAsync(body, "");
    if (room.model) { room.scene.remove(room.model); room.model.traverse((one) => { if (one instanceof Mesh || one instanceof Line) one.geometry.dispose(); }); }
    room.model = loaded.scene;
    dress(loaded.scene);
    room.scene.add(loaded.scene);
    if (first) { stand(); first = false; }
    toggles();
    ring(Number(find<HTMLInputElement>("#section-at").value));
    find("#solid-said").textContent = "";
  } catch (fault) {
    find("#solid-said").textContent = fault instanceof Refused ? fault.body.text : fault instanceof Away ? say("saved.away") : say("solid.not_now");
  } finally { busy = false; if (again) void load(); }
}

/* The whole of it in sight, seen as the front is drawn. */
function stand(): void {
  if (!room?.model) return;
  const box = new Box3().setFromObject(room.model), middle = box.getCenter(new Vector3()), size = box.getSize(new Vector3());
  room.controls.target.copy(middle);
  const far = size.y * 0.62 / Math.tan(14 * Math.PI / 180);
  room.camera.position.set(middle.x + far * 0.29, middle.y + far * 0.12, middle.z + far);
  room.controls.minDistance = size.y * 0.3;
  room.controls.maxDistance = size.y * 6;
  room.controls.update();
  ask();
}

const sections = new Lane<Section & { station_mm?: number }>("/api/section", (answer) => {
  const svg = drawn(answer.svg);
  if (svg) { svg.setAttribute("role", "img"); svg.setAttribute("aria-label", say("solid.section")); svg.removeAttribute("width"); svg.removeAttribute("height"); svg.classList.add("view"); find("#section-picture").replaceChildren(svg); }
  find("#section-said").textContent = say("solid.measures", { w: length(answer.width_mm), d: length(answer.depth_mm), g: length(answer.girth_mm) });
}, (why) => { find("#section-said").textContent = why.body.text; });

/* The section at a height, and its ring on the form. */
function cutAt(station: number): void {
  const range = find<HTMLInputElement>("#section-at");
  if (Number(range.value) !== Math.round(station)) range.value = String(Math.round(station));
  find("#section-out").textContent = `${length(station)} ${say(laid.units === "inch" ? "unit.inch" : "unit.mm")}`;
  sections.ask({ document: job.value, station_mm: station });
  ring(station);
}

/* The ring where the upper is cut at a height. */
function ring(station: number): void {
  if (!room?.model) return;
  const met = crossed(room.model, station / 1000);
  room.cut.visible = met.length > 3;
  if (room.cut.visible) { room.cut.geometry.dispose(); room.cut.geometry = new BufferGeometry().setAttribute("position", new BufferAttribute(new Float32Array(met.flatMap((one) => [one.x, one.y, one.z])), 3)); }
  ask();
}

/* Where the form is cut by a level plane, as one ring round its middle. */
function crossed(model: Group, y: number): Vector3[] {
  const found: Vector3[] = [], plane = new Plane(new Vector3(0, 1, 0), -y), node = model.getObjectByName("upper") ?? model.getObjectByName("form");
  node?.traverse((one) => {
    if (!(one instanceof Mesh)) return;
    const geometry = one.geometry as BufferGeometry, at = geometry.getAttribute("position"), index = geometry.index;
    const corner = (n: number): Vector3 => new Vector3().fromBufferAttribute(at, index ? index.getX(n) : n);
    const count = index ? index.count : at.count, hit = new Vector3();
    for (let n = 0; n < count; n += 3) {
      const [a, b, c] = [corner(n), corner(n + 1), corner(n + 2)];
      for (const [p, q] of [[a, b], [b, c]] as const) { const s = plane.distanceToPoint(p!), t = plane.distanceToPoint(q!); if ((s < 0) !== (t < 0)) found.push(hit.clone().lerpVectors(p!, q!, s / (s - t))); }
    }
  });
  const middle = found.reduce((sum, one) => sum.add(one), new Vector3()).divideScalar(found.length || 1);
  found.sort((p, q) => Math.atan2(p.z - middle.z, p.x - middle.x) - Math.atan2(q.z - middle.z, q.x - middle.x));
  return found[0] ? [...found, found[0]].map((one) => one.clone().sub(middle).multiplyScalar(1.01).add(middle)) : [];
}

function point(event: PointerEvent, here: Room): void {
  if (event.buttons || !here.model) return;
  const box = here.renderer.domElement.getBoundingClientRect(), ray = new Raycaster();
  ray.setFromCamera(new Vector2(((event.clientX - box.left) / box.width) * 2 - 1, 1 - ((event.clientY - box.top) / box.height) * 2), here.camera);
  const hit = ray.intersectObject(here.model, true).find((one) => one.object instanceof Mesh);
  if (hit) cutAt(hit.point.y * 1000);
}

export function open(): void {
  const begin = !room;
  room ??= build();
  if (begin && room) {
    hear("work", () => { if (see.solid) void load(); });
    for (const name of Object.keys(shown)) find(`#solid-${name}`).addEventListener("click", () => { shown[name] = !shown[name]; toggles(); });
    find("#solid-stand").addEventListener("click", stand);
    const range = find<HTMLInputElement>("#section-at");
    range.max = String(Math.round(last.work?.worked.landmarks["mouth_mm"] ?? 150));
    range.addEventListener("input", () => cutAt(Number(range.value)));
    cutAt(last.work?.worked.landmarks["thickest_mm"] ?? 50);
  }
  void load();
}
