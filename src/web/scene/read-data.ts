import { unpackScene } from './packed-scene.ts';
import type { ScenePayload } from './payload.ts';

/** Why the scene cannot be shown. */
export type DataFault = 'no decompression' | 'damaged';

/** The payload kept in an element of the page: base64 of gzip of `packScene`; or why it cannot be read. */
export async function readData(element: Element): Promise<ScenePayload | DataFault> {
  if (typeof DecompressionStream === 'undefined') return 'no decompression';
  try {
    const packed = Uint8Array.from(atob((element.textContent ?? '').trim()), (c) => c.charCodeAt(0));
    const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'));
    return unpackScene(new Uint8Array(await new Response(plain).arrayBuffer()));
  } catch {
    return 'damaged';
  }
}
