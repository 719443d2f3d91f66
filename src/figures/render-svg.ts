import * as vega from 'vega';
import { compile } from 'vega-lite';
import { CHARACTER_EM, type Figure } from './look.ts';

interface TextItem {
  readonly fontSize?: number;
}

function fixTextWidths(): void {
  const metrics = (vega as unknown as { textMetrics: { width: (item: TextItem, text: unknown) => number } })
    .textMetrics;
  metrics.width = (item, text) => String(text ?? '').length * (item.fontSize ?? 11) * CHARACTER_EM;
}

/** A figure as an SVG text, without a browser; the same specification always gives the same bytes. */
export async function renderSvg(figure: Figure): Promise<string> {
  fixTextWidths();
  const logger = quietLogger();
  const { spec } = compile(figure, { logger });
  const view = new vega.View(vega.parse(spec), { renderer: 'none', logger });
  try {
    return withoutRoles(await view.toSVG());
  } finally {
    view.finalize();
  }
}

/** A figure is one picture with one description, given where it is shown; roles on every line of it only make noise. */
function withoutRoles(svg: string): string {
  return svg.replace(/ (?:role="graphics-[^"]*"|aria-[a-z]+="[^"]*"|class="[^"]*"|pointer-events="[^"]*")/g, '');
}

/** A warning of the drawing library is no news for the reader of a report; an error is a fault of a figure function and stops it. */
function quietLogger(): vega.LoggerInterface {
  const logger: vega.LoggerInterface = {
    level: (() => logger) as unknown as vega.LoggerInterface['level'],
    error: (...texts) => {
      throw new Error(texts.map(String).join(' '));
    },
    warn: () => logger,
    info: () => logger,
    debug: () => logger,
  };
  return logger;
}
