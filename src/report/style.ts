import { DARK } from '../figures/look.ts';
import { colourName } from './inline-svg.ts';

const figureColours = (dark: boolean) =>
  Object.entries(DARK)
    .map(([light, onDark]) => `${colourName(light)}:${dark ? onDark : light}`)
    .join(';');

const LIGHT_PAGE = `--page:#f4f6f8;--card:#ffffff;--ink:#1d2733;--quiet:#55606c;--line:#d5dbe1;--accent:#1b4f9c;--good:#1f6b4f;--usable:#8a5a00;--poor:#a3231c;--mark:#ffe9a8;--mark-ink:#4a3500;${figureColours(false)}`;
const DARK_PAGE = `--page:#11161b;--card:#1a2027;--ink:#e8edf2;--quiet:#a9b4bf;--line:#36414c;--accent:#8fbaf8;--good:#74cfa8;--usable:#f0bd6a;--poor:#ff9a90;--mark:#4a3b10;--mark-ink:#ffe3a0;${figureColours(true)}`;

/** The whole style sheet: phone first, light and dark, A4. No font, picture or rule comes from elsewhere. */
export const STYLE = `
:root{color-scheme:light dark;${LIGHT_PAGE}}
@media screen and (prefers-color-scheme:dark){:root{${DARK_PAGE}}}
*{box-sizing:border-box}
body{margin:0;background:var(--page);color:var(--ink);font:16px/1.5 system-ui,-apple-system,"Segoe UI","DejaVu Sans",sans-serif;-webkit-text-size-adjust:100%;overflow-wrap:break-word}
main{max-width:64rem;margin:0 auto;padding:1rem}
h1{font-size:1.5rem;line-height:1.2;margin:.1rem 0 .3rem}
h2{font-size:1.2rem;margin:2.2rem 0 .6rem;line-height:1.25}
h3{font-size:1rem;margin:1.4rem 0 .4rem}
p{margin:.4rem 0}
a{color:var(--accent)}
.quiet{color:var(--quiet);font-size:.9rem}
.badge{display:inline-block;padding:.1rem .55rem;border-radius:.35rem;font-weight:600;font-size:.85rem;border:1.5px solid currentColor;white-space:nowrap}
.synthetic{background:var(--mark);color:var(--mark-ink);border-color:transparent;padding:.45rem .8rem;border-radius:.4rem;margin:0 0 .8rem;font-size:.92rem}
.good{color:var(--good)}.usable{color:var(--usable)}.poor{color:var(--poor)}
.facts{display:flex;flex-wrap:wrap;gap:.2rem .9rem;color:var(--quiet);font-size:.95rem;margin:0 0 .2rem;align-items:center}
.headline{font-size:1.25rem;line-height:1.35;font-weight:600;margin:.8rem 0 .2rem;max-width:44rem}
.card{background:var(--card);border:1px solid var(--line);border-radius:.5rem;padding:.6rem;margin:0}
.figures{display:grid;gap:.8rem;grid-template-columns:minmax(0,1fr)}
figure{margin:0}
figure svg{display:block;width:100%;height:auto;margin:0 auto}
figcaption{color:var(--quiet);font-size:.88rem;margin-top:.3rem}
.pair,.strip{display:grid;gap:.6rem;grid-template-columns:repeat(2,minmax(0,1fr))}
.pair{max-width:34rem;margin-top:.8rem}
.pair .card,.strip .card{padding:.2rem}
.scroll{overflow-x:auto;background:var(--card);border:1px solid var(--line);border-radius:.5rem}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
caption{text-align:left;padding:.5rem .6rem;color:var(--quiet);font-size:.9rem}
th,td{padding:.4rem .5rem;text-align:left;vertical-align:top;border-top:1px solid var(--line)}
thead th{border-top:0;font-size:.85rem;color:var(--quiet);font-weight:600}
tbody th{font-weight:400}
tbody th[scope=rowgroup]{font-weight:600;background:color-mix(in srgb,var(--line) 35%,transparent);padding-top:.5rem}
td.n,th.n{text-align:right;white-space:nowrap}
td.e{white-space:normal}
td.e span,.est span{white-space:nowrap;display:inline-block}
.cmp>*{display:block;white-space:nowrap}
.iv{color:var(--quiet)}
th.n.e{white-space:normal}
.small table{font-size:.85rem}
.small tbody th{min-width:9.5rem}
.small th,.small td{padding:.25rem .5rem}
.hint{display:block;color:var(--quiet);font-size:.82rem;line-height:1.3}
.single{max-width:32rem;margin-top:.8rem}
ul{padding-left:1.15rem;margin:.4rem 0}
li{margin:.3rem 0}
.care{border-left:4px solid var(--poor);padding:.2rem 0 .2rem .9rem}
details{margin:.6rem 0}
summary{cursor:pointer;font-weight:600;padding:.3rem 0}
code{font-size:.85em;word-break:break-all}
footer{margin:2.5rem 0 1rem}
@media (max-width:32rem){
.coach table{font-size:.92rem}
.coach .iv{display:block;font-size:.86em}
}
@media (min-width:46rem){
main{padding:1.6rem}
h1{font-size:1.9rem}
.figures{grid-template-columns:repeat(2,minmax(0,1fr))}
.strip{grid-template-columns:repeat(5,minmax(0,1fr))}
.top{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,26rem);gap:1.5rem;align-items:start}
.pair{margin-top:0}
}
@media print{
:root{${LIGHT_PAGE}}
@page{size:A4;margin:14mm}
body{background:#fff;font-size:10.5pt}
main{max-width:none;padding:0}
h2,h3{break-after:avoid}
figure,tr,.care li{break-inside:avoid}
.scroll{overflow:visible;border:0}
.card{border-color:#ccc}
.figures{grid-template-columns:repeat(2,minmax(0,1fr))}
.strip{grid-template-columns:repeat(5,minmax(0,1fr))}
}
`;
