import type { Recording } from '../capture/recording.ts';
import { sinceSection } from './athlete-part.ts';
import { lastTimeCard } from './first-screen.ts';
import type { Html } from './html.ts';
import type { PreviousLift } from './previous-lift.ts';
import { marksOf, PREVIOUS_PLACES, type PreviousPlace } from './previous-marks.ts';
import { alignName, chartsNote, paleData } from './scene-part.ts';

/**
 * A finished report with the previous lift put in, exchanged or (null) taken out: the same bytes as if it had been made with
 * that lift. Only the marked places are written, so that neither analysis nor figures are needed again. null where the
 * text is no report of this version: a mark is missing.
 *
 * @param recording of the report
 */
export function withPrevious(report: string, previous: PreviousLift | null, recording: Recording): string | null {
  const scene = previous?.scene ?? null;
  const parts: Readonly<Record<PreviousPlace, Html>> = {
    'last-time': lastTimeCard({ previous, recording }),
    since: sinceSection({ previous, recording }),
    align: alignName(scene),
    'charts-note': chartsNote(scene),
    pale: paleData(scene),
  };
  let text = report;
  for (const place of PREVIOUS_PLACES) {
    const [opening, closing] = marksOf(place);
    const from = text.indexOf(opening);
    const to = text.indexOf(closing, from);
    if (from < 0 || to < 0) return null;
    text = text.slice(0, from) + parts[place].text + text.slice(to + closing.length);
  }
  return text;
}
