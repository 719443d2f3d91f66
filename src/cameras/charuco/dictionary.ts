import { type DictionaryName, dictionaryBits } from '../../capture/board-file.ts';
import type { MarkerBits } from '../board-print.ts';
import type { ArucoDictionary, OpenCv } from '../cv.d.ts';
import { loadOpenCv, withOpenCv } from '../opencv.ts';

/** The predefined dictionary of that name; to be deleted by the caller. */
export function openDictionary(cv: OpenCv, name: DictionaryName): ArucoDictionary {
  return cv.getPredefinedDictionary(cv[name]);
}

/** The bits of the markers `ids` of a dictionary, as they are printed: without the black frame, row-major, 1 = white. */
export async function markerBits(name: DictionaryName, ids: readonly number[]): Promise<MarkerBits> {
  const cv = await loadOpenCv();
  const n = dictionaryBits(name);
  const known = withOpenCv(cv, `dictionary ${name}`, (keep) => {
    const dictionary = keep(openDictionary(cv, name));
    const image = keep(new cv.Mat());
    return new Map(
      ids.map((id) => {
        // One pixel a module, frame of one module.
        dictionary.generateImageMarker(id, n + 2, image, 1);
        const bits = new Uint8Array(n * n);
        for (let i = 0; i < n * n; i++) {
          const [row, column] = [Math.floor(i / n), i % n];
          bits[i] = image.data[(row + 1) * (n + 2) + column + 1] > 127 ? 1 : 0;
        }
        return [id, bits] as const;
      }),
    );
  });
  return (id) => {
    const bits = known.get(id);
    if (bits === undefined) throw new RangeError(`marker ${id} was not asked for`);
    return bits;
  };
}
