import { DARK, FONT } from '../figures/look.ts';
import { colourName } from './inline-svg.ts';

const figureColours = (dark: boolean) =>
  Object.entries(DARK)
    .map(([light, onDark]) => `${colourName(light)}:${dark ? onDark : light}`)
    .join(';');

/** Chalk and spruce. Every ink stands on its ground with a contrast of 4.5 or more (tests/report/style.test.ts). */
export const PAGE_COLOURS = {
  light: {
    page: '#eef2ef',
    card: '#ffffff',
    ink: '#14211d',
    quiet: '#4d5c56',
    line: '#cbd5d0',
    accent: '#0b5960',
    tint: '#dfeae5',
    good: '#1a6545',
    usable: '#7d4f00',
    poor: '#a3231c',
    mark: '#ffe7a3',
    'mark-ink': '#463200',
    band: '#14302b',
    'band-ink': '#f3f7f5',
    'band-quiet': '#b9cac3',
  },
  dark: {
    page: '#0f1513',
    card: '#18211e',
    ink: '#e9efec',
    quiet: '#a7b5af',
    line: '#34423c',
    accent: '#82d2d6',
    tint: '#21302b',
    good: '#74cfa8',
    usable: '#f0bd6a',
    poor: '#ff9a90',
    mark: '#4a3b10',
    'mark-ink': '#ffe3a0',
    band: '#0a211c',
    'band-ink': '#f3f7f5',
    'band-quiet': '#b9cac3',
  },
} as const;

const variables = (scheme: 'light' | 'dark') =>
  `${Object.entries(PAGE_COLOURS[scheme])
    .map(([name, colour]) => `--${name}:${colour}`)
    .join(';')};${figureColours(scheme === 'dark')}`;

/**
 * The whole style sheet: phone first, light and dark, A4. No font, picture or rule comes from elsewhere. Sizes of text are
 * steps of 1.2 from 16 px: .833, 1, 1.2, 1.44, 1.728, 2.074 rem.
 */
export const STYLE = `
:root{color-scheme:light dark;${variables('light')}}
@media screen and (prefers-color-scheme:dark){:root{${variables('dark')}}}
*{box-sizing:border-box}
html{scroll-padding-top:4rem}
body{margin:0;background:var(--page);color:var(--ink);font:16px/1.5 ${FONT};-webkit-text-size-adjust:100%;overflow-wrap:break-word}
[hidden]{display:none!important}
main,.band>div,.views>div{max-width:70rem;margin:0 auto;padding:0 1rem}
main{padding-bottom:2rem}
main>h1:first-child{margin-top:1.2rem}
h1{font-size:1.728rem;line-height:1.15;margin:.1rem 0 .3rem;letter-spacing:-.015em}
h2{font-size:1.2rem;margin:2.4rem 0 .6rem;line-height:1.25;letter-spacing:-.005em}
h2::before{content:"";display:block;width:2.2rem;height:.28rem;background:var(--accent);margin-bottom:.45rem;border-radius:.1rem}
h3{font-size:1rem;margin:1.4rem 0 .4rem;line-height:1.3}
p{margin:.4rem 0;max-width:46rem}
a{color:var(--accent)}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px;border-radius:.15rem}
.quiet{color:var(--quiet);font-size:.9em}
.badge{display:inline-block;padding:.05rem .5rem;border-radius:.25rem;font-weight:700;font-size:.85rem;border:1.5px solid currentColor;white-space:nowrap}
.synthetic{background:var(--mark);color:var(--mark-ink);padding:.45rem .8rem;border-radius:.25rem;margin:.8rem 0;font-size:.9rem;max-width:none}
.good{color:var(--good)}.usable{color:var(--usable)}.poor{color:var(--poor)}
.facts{display:flex;flex-wrap:wrap;gap:.15rem 1rem;color:var(--quiet);font-size:.95rem;margin:.2rem 0;align-items:center;max-width:none}
.headline{font-size:1.44rem;line-height:1.3;font-weight:700;margin:1.2rem 0 .5rem;letter-spacing:-.01em;max-width:44rem}
.card{background:var(--card);border:1px solid var(--line);border-radius:.4rem;padding:.7rem;margin:0}
.card>:first-child{margin-top:0}.card>:last-child{margin-bottom:0}
.figures{display:grid;gap:.9rem;grid-template-columns:minmax(0,1fr)}
figure{margin:0}
svg,select,input{max-width:100%;min-width:0}
figure svg{display:block;width:100%;height:auto;margin:0 auto}
figure img{display:block;max-width:100%;height:auto;margin:0 auto;border-radius:.2rem}
figcaption{color:var(--quiet);font-size:.87em;margin-top:.35rem;line-height:1.4}
.pair,.strip{display:grid;gap:.6rem;grid-template-columns:repeat(2,minmax(0,1fr))}
.pair{max-width:36rem}
.pair .card,.strip .card{padding:.35rem}
.pair figcaption{text-align:center;color:var(--ink)}
.scroll{overflow-x:auto;background:var(--card);border:1px solid var(--line);border-radius:.4rem}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
caption{text-align:left;padding:.5rem .6rem;color:var(--quiet);font-size:.9rem}
th,td{padding:.4rem .6rem;text-align:left;vertical-align:top;border-top:1px solid var(--line)}
thead th{border-top:0;font-size:.85rem;color:var(--quiet);font-weight:700}
tbody th{font-weight:400}
tbody th[scope=rowgroup]{font-weight:700;background:var(--tint);padding-top:.5rem}
td.n,th.n{text-align:right;white-space:nowrap}
td.e{white-space:normal}
td.e span,.est span{white-space:nowrap;display:inline-block}
.cmp>*{display:block;white-space:nowrap}
.iv{color:var(--quiet)}
th.n.e{white-space:normal}
.small table{font-size:.87rem}
.small tbody th{min-width:9.5rem}
.small th,.small td{padding:.25rem .5rem}
.hint{display:block;color:var(--quiet);font-size:.87em;line-height:1.3}
.single{max-width:34rem;margin-top:.8rem}
ul,ol{padding-left:1.15rem;margin:.4rem 0}
li{margin:.3rem 0;max-width:46rem}
.care{border-left:.3rem solid var(--poor);padding:.2rem 0 .2rem .9rem}
.care p{margin:.3rem 0}
details{margin:.6rem 0}
summary{cursor:pointer;font-weight:700;padding:.35rem 0}
code{font-size:.87em;word-break:break-all}
footer{margin:2.5rem 0 1rem;display:flex;flex-wrap:wrap;gap:.5rem 1.5rem;align-items:center}
button{font:inherit;font-weight:600;font-size:.9rem;color:var(--accent);background:var(--card);border:1.5px solid currentColor;border-radius:.3rem;padding:.35rem .8rem;min-height:2.25rem;cursor:pointer}
button:hover{background:var(--tint)}
button:disabled{color:var(--quiet);cursor:default}
html:not(.scripted) :is(.scripted-only,[data-jump-frame]){display:none!important}
.out{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.glyph{width:1.5em;height:1.5em;flex:none}
@media screen and (max-width:32rem){
.stacked thead{display:none}
.stacked tr{display:grid;grid-template-columns:1fr 1fr;padding:.35rem 0;border-top:1px solid var(--line)}
.stacked th,.stacked td{border-top:0;padding:.1rem .6rem}
.stacked tbody th{grid-column:1/-1;font-weight:700}
.stacked td.n{text-align:left}
.stacked td::before{content:attr(data-label);display:block;color:var(--quiet);font-size:.85em}
.stacked .cmp>*{white-space:normal}
}
@media (max-width:32rem){
.coach table{font-size:.92rem}
.coach .iv{display:block;font-size:.87em}
.headline{font-size:1.3rem}
}
@media (min-width:46rem){
main,.band>div,.views>div{padding-left:1.6rem;padding-right:1.6rem}
h1{font-size:2.074rem}
.headline{font-size:1.728rem}
.figures{grid-template-columns:repeat(2,minmax(0,1fr))}
.strip{grid-template-columns:repeat(5,minmax(0,1fr))}
.top{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,27rem);gap:2rem;align-items:start}
}
@media not print{
.on-paper{display:none}
}
@media print{
details[data-print]::details-content{content-visibility:visible}
:root{${variables('light')}}
@page{size:A4;margin:13mm}
body{background:#fff;font-size:10pt}
main,.band>div{max-width:none;padding:0}
h2,h3,summary{break-after:avoid}
h2{margin-top:1.3rem}
figure,tr,.card,.care li{break-inside:avoid}
.scroll{overflow:visible;border:0}
.small table{font-size:7.5pt}
.small th,.small td{padding:.12rem .3rem}
.small tbody th{min-width:0}
.small td.n,.small th.n{white-space:normal}
.card{border-color:#ccc}
.figures{grid-template-columns:repeat(2,minmax(0,1fr))}
.strip{grid-template-columns:repeat(5,minmax(0,1fr))}
button,.scripted-only{display:none!important}
}
`;
