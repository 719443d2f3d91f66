import type { ScenePayload, SceneView } from './payload.ts';
import { secondsOf, whereWords } from './place-words.ts';
import { PICTURE_RATIO, savePicture } from './save-picture.ts';
import type { Stage } from './stage.ts';
import type { Theme } from './theme.ts';
import { fill, numeral, type SceneWords } from './words.ts';

/** Saves the picture of a moment with who, what and when below it; gives the file's name, or null where none came out. */
export async function saveMoment(
  picture: Stage,
  payload: ScenePayload,
  frame: number,
  view: SceneView,
  words: SceneWords,
  theme: Theme,
): Promise<string | null> {
  const { about } = payload;
  const { width, height } = picture.size;
  const seconds = numeral(secondsOf(payload, frame), 2, words);
  const name = pictureName(about.recording, seconds, view);
  const title = joined([fill(words.pictureWho, { lifter: about.lifter }), about.lift, about.date]);
  const line = joined([
    about.synthetic ? words.synthetic : '',
    fill(words.seconds, { value: seconds }),
    whereWords(payload, frame, words),
    fill(words.pictureView, { view: words.views[view] }),
    words.toolName,
  ]);
  const saved = await savePicture(name, width, height, (context) => picture.drawInto(context, frame, PICTURE_RATIO), {
    title,
    line,
    ink: theme.ink,
    quiet: theme.quiet,
    ground: theme.stage,
  });
  return saved ? name : null;
}

const joined = (parts: readonly string[]): string => parts.filter((part) => part !== '').join(' · ');

/** 'A01-hips-flat_2.88s_side.png': letters, digits, points, dashes only. */
export function pictureName(recording: string, seconds: string, view: SceneView): string {
  return `${recording}_${seconds}s_${view}.png`.replace(/[^\w.-]+/g, '-');
}
