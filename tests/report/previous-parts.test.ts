import { expect, test } from '@jest/globals';
import type { EarlierLift } from '../../src/report/previous-lift.ts';
import { previousLift } from '../../src/report/previous-lift.ts';
import { withPrevious } from '../../src/report/previous-parts.ts';
import { scenePayload } from '../../src/report/scene-data.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import { makeRecord, makeRecording } from '../study/make-record.ts';
import { makeUncertainty } from '../study/make-uncertainty.ts';
import { makeReport } from './make-report.ts';

/** Another lift of the same lifter. */
function earlier(recordingId: string): EarlierLift {
  const record = makeRecord({ recordingId });
  const recording = { ...makeRecording({ recordingId }), date: '2026-02-01' };
  return { recording, means: setMeansOf(makeUncertainty(record, {})), scene: scenePayload(record, recording) };
}

test('the previous lift put in, exchanged and taken out afterwards: the bytes of a report made with it', async () => {
  const now = { means: setMeansOf(makeUncertainty(makeRecord(), {})) };
  const [first, second] = ['A01-first', 'A01-second'].map((id) =>
    previousLift(now, earlier(id), `../${id}/report.html`),
  );
  const without = await makeReport();
  const { recording } = without;
  const withFirst = (await makeReport({}, {}, {}, { previous: first })).html;
  expect(withFirst).not.toBe(without.html);
  expect(withPrevious(without.html, first, recording)).toBe(withFirst);
  expect(withPrevious(withFirst, first, recording)).toBe(withFirst);
  const withSecond = (await makeReport({}, {}, {}, { previous: second })).html;
  expect(withPrevious(withFirst, second, recording)).toBe(withSecond);
  expect(withPrevious(withSecond, null, recording)).toBe(without.html);
});

test('a page without the marks is no report of this version', async () => {
  const { html, recording } = await makeReport();
  expect(withPrevious(html.replace('<!--previous:since-->', ''), null, recording)).toBeNull();
  expect(withPrevious('', null, recording)).toBeNull();
});
