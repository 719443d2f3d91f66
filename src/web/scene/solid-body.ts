import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DirectionalLight,
  HemisphereLight,
  LineBasicMaterial,
  LineSegments,
  PerspectiveCamera,
  Scene,
  WebGLRenderer,
} from 'three';
import type { BodyDrawing } from './body-drawing.ts';
import { floorLines, strength } from './floor-lines.ts';
import { axesInto, FIELD_OF_VIEW } from './orbit.ts';
import type { ScenePayload } from './payload.ts';
import type { Pose } from './pose.ts';
import { solidFigure } from './solid-figure.ts';
import { bodyPaint, palePaint } from './solid-paint.ts';

/**
 * Lifter, bar and floor as solids; null where the browser has no WebGL 2. The second lift is drawn first and lies behind
 * everything else, so that it hides nothing.
 */
export function solidBody(
  canvas: HTMLCanvasElement,
  payload: ScenePayload,
  pose: Pose,
  pale: { payload: ScenePayload; pose: Pose } | null,
  drawAgain: () => void,
): BodyDrawing | null {
  const bySoftware = drawsBySoftware();
  const antialias = !bySoftware;
  const context = canvas.getContext('webgl2', { alpha: true, antialias, premultipliedAlpha: true });
  if (!context) return null;
  const renderer = new WebGLRenderer({ canvas, context, alpha: true, antialias });
  renderer.setClearColor(0x000000, 0);
  renderer.autoClear = false;
  canvas.addEventListener('webglcontextlost', (event) => event.preventDefault());
  canvas.addEventListener('webglcontextrestored', drawAgain);

  const paint = bodyPaint(payload.bar?.tracked ?? true);
  const figure = solidFigure(pose, payload.bar, paint);
  const front = lit();
  front.add(figure.group);

  const lines = new LineBasicMaterial({ vertexColors: true });
  const geometry = new BufferGeometry();
  const ends = floorLines();
  const shades = new BufferAttribute(new Float32Array(ends.length), 3);
  geometry.setAttribute('position', new BufferAttribute(ends, 3));
  geometry.setAttribute('color', shades);
  const floor = new Scene();
  const grid = new LineSegments(geometry, lines);
  grid.frustumCulled = false;
  floor.add(grid);

  const behindPaint = palePaint();
  const behind = pale ? lit() : null;
  const behindFigure = pale ? solidFigure(pale.pose, pale.payload.bar, behindPaint) : null;
  if (behind && behindFigure) behind.add(behindFigure.group);

  const camera = new PerspectiveCamera((FIELD_OF_VIEW * 180) / Math.PI, 1, 0.5, 60);
  camera.matrixAutoUpdate = false;
  const axes = new Float64Array(9);

  return {
    kind: 'solid',
    bySoftware,
    recolour(theme) {
      paint.recolour(theme);
      behindPaint.recolour(theme);
      const [ground, line, mixed] = [theme.stage, theme.line, theme.line].map((style) => new Color(style));
      for (let i = 0; i < shades.count; i++) {
        mixed.lerpColors(ground, line, strength(ends[3 * i], ends[3 * i + 2]));
        shades.setXYZ(i, mixed.r, mixed.g, mixed.b);
      }
      shades.needsUpdate = true;
    },
    resize(width, height, pixelRatio) {
      renderer.setPixelRatio(pixelRatio);
      renderer.setSize(width, height, false);
      camera.aspect = width / height;
      camera.updateProjectionMatrix();
    },
    draw(orbit, paleShown) {
      axesInto(axes, orbit);
      const { target, distance } = orbit;
      // biome-ignore format: rows of a matrix
      camera.matrix.set(
        axes[0], axes[3], axes[6], target[0] + distance * axes[6],
        axes[1], axes[4], axes[7], target[1] + distance * axes[7],
        axes[2], axes[5], axes[8], target[2] + distance * axes[8],
        0, 0, 0, 1,
      );
      camera.matrixWorldNeedsUpdate = true;
      renderer.clear();
      renderer.render(floor, camera);
      if (behind && behindFigure && paleShown) {
        behindFigure.follow();
        renderer.render(behind, camera);
      }
      renderer.clearDepth();
      figure.follow();
      renderer.render(front, camera);
    },
  };
}

/** Whether WebGL is drawn by the processor: smooth edges then take as long as all the rest. False where it cannot be told. */
function drawsBySoftware(): boolean {
  const probe = document.createElement('canvas').getContext('webgl2');
  const info = probe?.getExtension('WEBGL_debug_renderer_info');
  const name = probe && info ? String(probe.getParameter(info.UNMASKED_RENDERER_WEBGL)) : '';
  probe?.getExtension('WEBGL_lose_context')?.loseContext();
  return /swiftshader|llvmpipe|softpipe|software|basic render/i.test(name);
}

function lit(): Scene {
  const scene = new Scene();
  scene.add(new HemisphereLight(0xffffff, 0x9a9a9a, 2.2));
  const sun = new DirectionalLight(0xffffff, 1.1);
  sun.position.set(1.5, 3, 2.5);
  scene.add(sun);
  return scene;
}
