/** What only the page of a lift needs: the band with lifter and load, the way between its views, cards of the first screen, data files. */
export const VIEWS_STYLE = `
.band{background:var(--band);color:var(--band-ink);padding:.9rem 0 .8rem}
.band a{color:inherit}
.band .facts,.band .quiet{color:var(--band-quiet)}
.band .facts strong{color:var(--band-ink)}
.band h1{margin:.4rem 0 .3rem}
.band .badge{background:var(--card)}
.maker{display:flex;flex-wrap:wrap;gap:.1rem 1.4rem;align-items:center;font-size:.9rem;margin:0;max-width:none}
.maker span{display:flex;gap:.45rem;align-items:center;font-weight:700}
.views{position:sticky;top:0;z-index:5;background:var(--card);border-bottom:1px solid var(--line)}
.views>div{display:flex;flex-wrap:wrap;gap:0 .9rem;align-items:center}
.views ul{list-style:none;display:flex;gap:.2rem;margin:0;padding:0;flex:1}
.views li{margin:0}
.views a{display:block;padding:.7rem .7rem .5rem;text-decoration:none;font-weight:700;color:var(--quiet);border-bottom:.25rem solid transparent}
.views a:hover{color:var(--ink)}
.views a[aria-current]{color:var(--ink);border-bottom-color:var(--accent)}
.actions{display:flex;flex-wrap:wrap;gap:.5rem;margin:.8rem 0;align-items:center}
.view>h2:first-child{margin-top:1.4rem}
html.scripted .view>.view-title{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.cards{display:grid;gap:.9rem;grid-template-columns:minmax(0,1fr);align-items:start;margin-top:1.2rem}
.cards h2{margin:0 0 .4rem;font-size:1rem}
.cards h2::before{display:none}
.cards .card{padding:.9rem 1rem}
.try{border-left:.4rem solid var(--accent)}
.try .cue{font-size:1.2rem;line-height:1.35;font-weight:700;margin:.2rem 0 .4rem}
.plainlist{list-style:none;padding:0}
.plainlist li{margin:.45rem 0}
.verdict{font-weight:700}
.file-row{display:flex;flex-wrap:wrap;gap:.4rem .8rem;align-items:baseline;border-top:1px solid var(--line);padding:.5rem 0}
.file-row>p{flex:1 1 20rem;margin:0}
.file-row>.actions{margin:0}
.file-row>details{flex:1 0 100%;margin:0}
.preview{overflow:auto;max-height:16rem;background:var(--card);border:1px solid var(--line);border-radius:.3rem;padding:.5rem;font-size:.8rem;line-height:1.35;white-space:pre;margin:.3rem 0;tab-size:2}
.first{margin-top:1.2rem}
.first .headline{margin-top:0}
.first .top{display:grid;grid-template-columns:minmax(0,1fr);row-gap:.9rem}
.keys{display:grid;gap:.2rem;margin:.6rem 0;max-width:26rem}
.keys div{display:flex;justify-content:space-between;gap:1rem;border-top:1px solid var(--line);padding:.3rem 0}
.keys dt{color:var(--quiet)}
.keys dd{margin:0;font-weight:700;text-align:right;white-space:nowrap}
.jump{margin:.4rem 0 .1rem;text-align:center}
.pair figure{display:flex;flex-direction:column}
.pair figcaption{flex:1}
.under .keys{margin-top:0}
.top>.pictures{min-width:0}
.say li,.say section>p{font-size:1.07rem}
.say>.headline{margin-bottom:.2rem}
.say .top{align-items:start}
.say .top figure{margin-top:1.5rem}
html.scripted .view{scroll-margin-top:30rem}
.contents{list-style:none;padding:0;display:flex;flex-wrap:wrap;gap:.2rem 1.2rem;margin:1.2rem 0 0}
@media (max-width:32rem){
.views a{padding:.6rem .5rem .4rem}
}
@media (min-width:46rem){
.first .top{grid-template-columns:minmax(0,1fr) minmax(0,27rem);grid-template-rows:auto 1fr;column-gap:2rem}
.first .pictures{grid-column:2;grid-row:1/3}
.first .under{grid-column:1}
}
@media (min-width:60rem){
.cards{grid-template-columns:minmax(0,1.25fr) minmax(0,1fr) minmax(0,1fr)}
}
@media print{
.band{background:#fff;color:#000;padding:0;border-bottom:2px solid #14302b}
.band .facts,.band .quiet,.band .facts strong{color:#333}
.views{display:none}
html.scripted .view>.view-title{position:static;width:auto;height:auto;clip-path:none}
.view+.view{break-before:page}
html.print-all .view[hidden]{display:block!important}
.cards{grid-template-columns:repeat(3,minmax(0,1fr));gap:.5rem;font-size:9pt}
.cards .card{padding:.5rem .6rem}
.first .top{grid-template-columns:minmax(0,1fr) minmax(0,19rem);grid-template-rows:auto 1fr;column-gap:1rem}
.first .pictures{grid-column:2;grid-row:1/3}
.first .under{grid-column:1}
.headline{font-size:14pt}
.try .cue{font-size:11pt}
.file-row details{display:none}
.on-screen{display:none!important}
}
`;
