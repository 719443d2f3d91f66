import { type Html, html } from './html.ts';
import { dataTable, list } from './page.ts';
import type { ReportContent } from './report-input.ts';
import * as say from './wording-science.ts';

/** For the scientist: what force plates leave over, by trunk lean, and the body they would fit. */
export function residualPart({ residual }: ReportContent): Html | null {
  if (!residual) return null;
  const rows = residual.byLean.flatMap(({ fromDeg, toDeg, frames, forcePctBodyWeight, momentNm, pressureForwardM }) => {
    const [force, moment] = [forcePctBodyWeight.up, momentNm.right];
    if (!force || !moment || !pressureForwardM) return [];
    return [
      [
        say.leanRange(fromDeg, toDeg),
        frames,
        say.meanAndRms(force, 2),
        say.meanAndRms(moment, 0),
        say.meanAndRms({ mean: 1000 * pressureForwardM.mean, rms: 1000 * pressureForwardM.rms }, 0),
      ],
    ];
  });
  return html`${
    rows.length === 0
      ? null
      : dataTable(
          say.residualColumns().map((title, i) => ({ title, numeric: i > 0 })),
          rows,
          say.residualHeading(),
        )
  }
${list(residual.notes)}`;
}
