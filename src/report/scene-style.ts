import { COLOUR } from '../figures/look.ts';
import { colourName } from './inline-svg.ts';

/** A figure colour as the page gives it now, light or dark. */
const figure = (hex: string) => `var(${colourName(hex)},${hex})`;

/** What the moving picture takes from the page's colours, by role (src/web/scene/theme.ts reads these). */
const ROLES = {
  stage: 'var(--card,#fff)',
  ink: 'var(--ink,#14211d)',
  quiet: 'var(--quiet,#4d5c56)',
  line: 'var(--line,#cbd5d0)',
  right: figure(COLOUR.near),
  left: figure(COLOUR.far),
  'left-stripe': 'var(--card,#fff)',
  trunk: figure(COLOUR.path),
  pale: 'color-mix(in srgb,var(--quiet,#4d5c56) 38%,var(--card,#fff))',
  'pale-line': 'var(--quiet,#4d5c56)',
  bar: 'var(--ink,#14211d)',
  hip: figure(COLOUR.hip),
  knee: figure(COLOUR.knee),
  mass: figure(COLOUR.mass),
  force: figure(COLOUR.foot),
  foot: figure(COLOUR.foot),
} as const;

const roles = Object.entries(ROLES)
  .map(([role, value]) => `--sc-${role}:${value}`)
  .join(';');

/** Style of the moving picture: phone first; beside the charts on a wide page. */
export const SCENE_STYLE = `
.sc{${roles}}
.sc-body{display:grid;gap:.9rem;grid-template-columns:minmax(0,1fr)}
.sc-lead{margin:0}
.sc-note{border-left:.3rem solid var(--sc-knee);padding:.2rem 0 .2rem .9rem}
.sc-stage{position:relative;height:min(30rem,112vw);background:var(--sc-stage);border:1px solid var(--sc-line);border-radius:.4rem;overflow:hidden}
.sc-stage:focus-visible{outline-offset:-3px}
.sc-stage canvas{position:absolute;inset:0;width:100%;height:100%;display:block}
.sc-stage canvas[data-sc=marks]{touch-action:pan-y;cursor:grab}
.sc-stage canvas[data-sc=marks]:active{cursor:grabbing}
.sc-over{position:absolute;top:.5rem;display:flex}
.sc-views{left:.5rem}
.sc-zoom{right:.5rem}
.sc button,.sc select{font:inherit;font-size:.9rem;min-height:2.25rem;border-radius:.3rem;border:1.5px solid var(--sc-line);background:var(--sc-stage);color:var(--sc-ink)}
.sc button{font-weight:600;padding:.25rem .7rem;cursor:pointer}
.sc button:hover{background:var(--tint,#eee)}
.sc button:disabled{color:var(--sc-quiet);opacity:.55;cursor:default;background:none}
.sc button svg{display:block;fill:currentColor}
.sc select{padding:.2rem .4rem;max-width:100%}
.sc-over button,.sc-together button{border-radius:0;margin-left:-1.5px}
.sc-over button:first-child,.sc-together button:first-child{border-radius:.3rem 0 0 .3rem;margin-left:0}
.sc-over button:last-child,.sc-together button:last-child{border-radius:0 .3rem .3rem 0}
.sc-zoom button{padding:.25rem .5rem}
.sc button:focus-visible,.sc input:focus-visible+span{position:relative;z-index:1}
.sc button[aria-pressed=true]{background:var(--sc-ink);color:var(--sc-stage);border-color:var(--sc-ink)}
.sc-time{margin-top:.5rem}
.sc-time input{-webkit-appearance:none;appearance:none;display:block;width:100%;height:1.9rem;margin:0;background:none;cursor:pointer}
.sc-time input::-webkit-slider-runnable-track{height:.3rem;border-radius:.15rem;background:var(--sc-line)}
.sc-time input::-moz-range-track{height:.3rem;border-radius:.15rem;background:var(--sc-line)}
.sc-time input::-webkit-slider-thumb{-webkit-appearance:none;appearance:none;width:20px;height:20px;margin-top:-.47rem;border-radius:50%;border:3px solid var(--sc-stage);background:var(--accent,#0b5960);box-shadow:0 0 0 1.5px var(--accent,#0b5960)}
.sc-time input::-moz-range-thumb{width:14px;height:14px;border-radius:50%;border:3px solid var(--sc-stage);background:var(--accent,#0b5960);box-shadow:0 0 0 1.5px var(--accent,#0b5960)}
.sc-strip{height:1.35rem}
.sc svg{display:block}
.sc-strip-text{font-size:.75rem;text-anchor:middle;fill:var(--sc-ink)}
.sc-clock{margin:.25rem 0 0;font-variant-numeric:tabular-nums;font-size:.95rem;min-height:1.5em}
.sc-down{fill:var(--sc-ink);opacity:.07}
.sc-up{fill:var(--sc-ink);opacity:.13}
.sc-row{display:flex;flex-wrap:wrap;gap:.5rem .8rem;align-items:center;margin-top:.6rem}
.sc-goto{gap:.4rem}
.sc-name,.sc-choice>span,.sc-speed legend{font-size:.87rem;color:var(--sc-quiet)}
.sc-together{display:inline-flex}
.sc .sc-play{padding:.25rem 1.1rem;background:var(--accent,#0b5960);border-color:var(--accent,#0b5960);color:var(--sc-stage)}
.sc-play.sc-on .sc-i-play,.sc-play:not(.sc-on) .sc-i-pause{display:none}
.sc-speed{display:flex;align-items:center;border:0;margin:0;padding:0;min-width:0}
.sc-speed legend{float:left;padding:0 .45rem 0 0}
.sc-speed label{position:relative;cursor:pointer}
.sc-speed input{position:absolute;opacity:0;inset:0;margin:0;cursor:pointer}
.sc-speed label>span{display:grid;place-items:center;min-width:2.3rem;height:2.25rem;border:1.5px solid var(--sc-line);border-left-width:0;background:var(--sc-stage);font-weight:600}
.sc-speed label:first-of-type>span{border-left-width:1.5px;border-radius:.3rem 0 0 .3rem}
.sc-speed label:last-of-type>span{border-radius:0 .3rem .3rem 0}
.sc-speed input:checked+span{background:var(--sc-ink);color:var(--sc-stage);border-color:var(--sc-ink)}
.sc-speed input:focus-visible+span{outline:3px solid var(--accent,#0b5960);outline-offset:2px}
.sc-choice{display:inline-flex;gap:.45rem;align-items:center;max-width:100%}
.sc-charts{min-width:0}
.sc-chart>p{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 .8rem;margin:.35rem 0 .1rem;font-size:.87rem;max-width:none}
.sc-values{font-variant-numeric:tabular-nums;display:inline-flex;flex-wrap:wrap;gap:0 .9rem}
.sc-key{display:inline-flex;align-items:center;gap:.35rem}
.sc-plot{position:relative;height:5.6rem;background:var(--sc-stage);border:1px solid var(--sc-line);border-radius:.3rem;overflow:hidden;cursor:ew-resize;touch-action:pan-y}
.sc-chart:first-child .sc-plot{height:8.4rem}
.sc-cursor{position:absolute;left:-1px;top:0;bottom:0;width:2px;background:var(--accent,#0b5960);pointer-events:none;will-change:transform}
.sc-line{fill:none;stroke-width:2.2;stroke-linejoin:round}
.sc-pale{fill:none;stroke-width:1.2;opacity:.75}
.sc-grid{stroke:var(--sc-line);stroke-width:1}
.sc-zero{stroke:var(--sc-quiet);stroke-width:1}
.sc-tick{font-size:.7rem;fill:var(--sc-quiet);text-anchor:end}
.sc-more{margin:0}
.sc-checks{display:grid;gap:.3rem;margin:.4rem 0}
@media (min-width:62rem){
.sc-body{grid-template-columns:minmax(0,1.25fr) minmax(0,1fr);gap:.9rem 1.6rem}
.sc-lead,.sc-more{grid-column:1/-1}
.sc-stage{height:33rem}
}
@media print{.sc{display:none}}
`;
