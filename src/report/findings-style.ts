/** What only findings need. Words differ by shape and text, not by colour alone. */
export const FINDINGS_STYLE = `
.finding{padding:.8rem 1rem;margin:.8rem 0}
.finding h3{margin:.1rem 0 .3rem;display:flex;flex-wrap:wrap;gap:.3rem .7rem;align-items:baseline}
.finding h3 .badge{order:-1}
.finding.shown{border-left:.4rem solid var(--ink)}
.finding.suggested{border-left:.4rem dashed var(--quiet)}
.finding .where{display:flex;flex-wrap:wrap;gap:.4rem;align-items:center;margin:.4rem 0}
.finding dl{display:grid;grid-template-columns:minmax(0,1fr);gap:.1rem .8rem;margin:.5rem 0}
.finding dt{font-weight:700;font-size:.9rem}
.finding dd{margin:0 0 .3rem}
.finding .basis{color:var(--quiet);font-size:.82rem;line-height:1.35;margin:.4rem 0 0}
.finding .drawn{float:right;width:7.5rem;margin:0 0 .4rem .8rem;color:var(--quiet)}
.chain{display:flex;flex-wrap:wrap;gap:.3rem;list-style:none;padding:0;margin:.5rem 0}
.chain li{display:flex;align-items:center;gap:.3rem;margin:0}
.chain li+li::before{content:"→";color:var(--quiet)}
.chain span{border:1.5px solid var(--line);border-radius:.4rem;padding:.25rem .6rem;background:var(--card)}
@media (min-width:46rem){
.finding dl{grid-template-columns:8.5rem minmax(0,1fr)}
}
@media print{
.finding{break-inside:avoid}
.finding .where button{display:none}
}
`;
