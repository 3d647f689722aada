import { FONT_STACK } from '../../chart/figures/figure.js';
import { ACCENT, INK, INK_SOFT, PAPER, RULE } from '../../chart/palette.js';
import { swatchCss, unseenCss } from './swatch.js';

/** All styles of the page: our own sheet, no framework. One column, paper-like, the same on screen and on paper. */
export function pageStyles(classCounts: readonly number[]): string {
  return `${base()}${layout()}${card()}${controls()}${tables()}${trust()}${gauges()}${swatchCss(classCounts)}\n${print()}`;
}

const GROUND = '#eef0ef';
function base(): string {
  return `
:root{color-scheme:light;--ink:${INK};--soft:${INK_SOFT};--rule:${RULE};--paper:${PAPER};--accent:${ACCENT}}
*,*::before,*::after{box-sizing:border-box}
[hidden]{display:none!important}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%;scroll-padding-top:1rem}
body{margin:0;background:${GROUND};color:var(--ink);font:1rem/1.5 ${FONT_STACK};overflow-wrap:anywhere}
h1,h2,h3,h4{line-height:1.2;margin:0;text-wrap:balance}
h1{font-size:clamp(1.9rem,1.4rem + 2.4vw,2.9rem);letter-spacing:-.015em}
h2{font-size:1.65rem;letter-spacing:-.01em}
h3{font-size:1.3rem}
h4{font-size:1.05rem;margin-top:1.6rem}
small{font-size:.85rem;font-weight:400;color:var(--soft)}
p,ul{margin:.5rem 0}
ul{padding-left:1.2rem}
li{margin:.2rem 0}
a{color:inherit;text-decoration-thickness:1px;text-underline-offset:.15em}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
.label{font-size:.85rem;font-weight:600;color:var(--soft)}
.note{font-size:.9rem;color:var(--soft)}
.unseen-head,.vh{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
@media (pointer:coarse){.mouse{display:none}}
.skip{position:absolute;left:-99rem;background:var(--paper);padding:.6rem 1rem;z-index:2}
.skip:focus{left:.5rem;top:.5rem}
`;
}

function layout(): string {
  return `
.top,main{max-width:61rem;margin:0 auto;padding:0 1rem}
.top{padding-top:2rem}
.kicker{margin:0;font-weight:600;color:var(--soft)}
.lede{max-width:46rem;font-size:1.08rem}
.cautions{margin:1.2rem 0;background:var(--ink);color:var(--paper);padding:1rem 1.2rem;border-radius:.3rem}
.cautions h2{font-size:1.05rem}
.cautions ul{margin:.4rem 0 0;columns:2 24rem;column-gap:2rem}
.cautions li{break-inside:avoid;margin:0 0 .35rem}
.cautions li:first-child{font-weight:700}
.runs{display:flex;flex-wrap:wrap;gap:.4rem 1.2rem;list-style:none;padding:0;margin:1rem 0;font-weight:600}
.run{margin:2.4rem 0 0;padding-top:1.4rem;border-top:4px solid var(--ink)}
.scale{display:flex;flex-wrap:wrap;gap:.3rem .9rem;align-items:center;margin:.6rem 0 1rem}
.chip{display:inline-flex;align-items:center;gap:.4rem}
.gauge{background:var(--paper);border:1px solid var(--rule);border-radius:.3rem;padding:1.2rem;margin:0 0 1.2rem}
figure{margin:.6rem 0 1rem}
figcaption{font-size:.9rem;color:var(--soft);max-width:52rem}
.plotwrap{position:relative;overflow:hidden}
.plot{min-height:15rem;touch-action:pan-y}
.plot[data-level]{min-height:30rem;cursor:crosshair}
.mark{position:absolute;width:0;pointer-events:none;margin-left:-1px}
.mark.typed{border-left:3px solid var(--accent)}
.mark.pointed{border-left:2px dashed var(--ink)}
.cursor{min-height:3em;margin:.2rem 0;font-variant-numeric:tabular-nums}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,20rem),1fr));gap:0 1.2rem}
.source{margin:2.4rem 0;padding-top:1.2rem;border-top:4px solid var(--ink)}
.source h2{font-size:1.2rem}
.files{font-size:.85rem;word-break:break-all}
.unfit h3{color:var(--soft)}
.refusal{border:2px dashed var(--soft);padding:.8rem 1rem;margin:.8rem 0;background:${GROUND}}
.refusal .verdict{font-size:1.1rem;margin-top:0}
.tried .plot{filter:grayscale(1)}
`;
}

function card(): string {
  return `
.key{border:2px solid var(--ink);border-radius:.3rem;margin:1rem 0;padding:1rem 1.2rem;background:var(--paper)}
.key header{display:flex;flex-wrap:wrap;gap:.3rem 1rem;justify-content:space-between;align-items:baseline}
.where{font-weight:600;margin:0}
.how{font-size:1.3rem;line-height:1.35;font-weight:600;margin:.5rem 0 .9rem;max-width:40rem;text-wrap:balance}
.how .label,.loses .label{display:block}
.grade{display:inline-flex;align-items:center;gap:.45rem;font-weight:700}
.steps{display:inline-flex;gap:3px}
.steps i{width:.8rem;height:.8rem;border:2px solid var(--ink);border-radius:50% 50% 50% 0;transform:rotate(135deg)}
.steps .on{background:var(--ink)}
.columns{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,20rem),1fr));gap:0 2rem}
.columns h4{margin-top:.8rem}
.columns ul{font-size:.95rem}
.in-print{display:none}
.staff{width:100%;border-collapse:collapse;font-variant-numeric:tabular-nums;height:1px}
.staff caption{caption-side:bottom;text-align:left;font-size:.9rem;color:var(--soft);padding-top:.5rem}
.staff tbody th{text-align:left;padding:.2rem .6rem}
.staff td{padding:.2rem .6rem;vertical-align:middle}
.staff .class th{font-size:1.2rem;font-weight:700}
.staff .class td{font-size:1.2rem}
.values span{display:inline-block;min-width:15rem;margin-right:.6rem}
.staff .class .values span+span{color:var(--soft)}
.staff .class{height:3.2rem}
.staff .edge th{font-size:.95rem;font-weight:400}
.staff .edge th,.staff .edge td:not(.block){border-top:1px solid var(--rule);border-bottom:1px solid var(--rule)}
.staff .not-seen th{font-weight:400}
.staff tbody .block{width:3rem;min-width:3rem;padding:0;height:inherit;border-left:2px solid var(--ink);border-right:2px solid var(--ink)}
.staff .edge .block{position:relative}
.staff .edge .block::after{content:"";position:absolute;left:0;right:-.6rem;top:calc(50% - 1px);border-top:2px solid var(--ink)}
.block span{display:flex;align-items:center;justify-content:center;height:100%}
.edge .block span{height:50%}
.block .unseen{min-height:1.9rem;${unseenCss()}}
.sw{display:inline-flex;align-items:center;justify-content:center;width:1.7rem;height:1.7rem;border:1px solid var(--ink);border-radius:.2rem;vertical-align:middle;flex:none}
.sy{display:block;width:14px;height:14px}
.defs{position:absolute}
`;
}

function controls(): string {
  return `
.tablist{display:flex;flex-wrap:wrap;gap:.4rem;list-style:none;padding:0;margin:.3rem 0 .8rem}
.tablist li{margin:0}
.tablist a{display:block;padding:.5rem .9rem;min-height:2.75rem;border:2px solid var(--soft);border-radius:.3rem;background:var(--paper);text-decoration:none;font-weight:600;line-height:1.3}
.tablist a small{display:block}
.tablist a[aria-selected=true]{background:var(--ink);border-color:var(--ink);color:var(--paper)}
.tablist a[aria-selected=true] small{color:inherit}
[role=tabpanel] .way,[role=tabpanel]>h3{display:none}
.now{background:${GROUND};border-radius:.3rem;padding:1rem 1.2rem;margin:1rem 0}
.now h4{margin-top:0;font-size:1.2rem}
.hint{margin:.2rem 0 .6rem}
.fields{display:flex;flex-wrap:wrap;gap:.5rem .6rem;align-items:center}
.fields label{font-weight:600}
.field{display:inline-flex;flex-wrap:wrap;gap:.3rem .6rem;align-items:center}
.fields input,.fields select{font:inherit;font-size:1.15rem;padding:.45rem .6rem;min-height:2.75rem;border:2px solid var(--ink);border-radius:.3rem;background:var(--paper);color:var(--ink);max-width:100%}
.fields input{width:8rem}
.says{font-weight:600;min-height:1.5em;margin:.8rem 0 .4rem}
.bars{list-style:none;padding:0;margin:0}
.bars li{display:grid;grid-template-columns:minmax(7.5rem,11rem) 1fr 3.4rem;gap:.6rem;align-items:center;margin:.25rem 0}
.bars .name{display:flex;align-items:center;gap:.4rem;min-width:0}
.track{background:var(--paper);height:1.5rem;border:1px solid var(--rule)}
.bar{display:block;height:100%;width:0}
.percent{text-align:right;font-variant-numeric:tabular-nums;font-weight:600}
details{border-top:1px solid var(--rule)}
summary{cursor:pointer;font-weight:600;padding:.7rem 0;min-height:2.75rem}
details[open]>summary{padding-bottom:.3rem}
`;
}

function tables(): string {
  return `
.scroll{overflow-x:auto;margin:.4rem 0 1rem}
.plain{overflow-wrap:break-word;border-collapse:collapse;font-size:.95rem;font-variant-numeric:tabular-nums;min-width:100%}
.plain caption{max-width:calc(100vw - 3rem);text-align:left;font-weight:600;padding:.2rem 0 .4rem}
.plain th,.plain td{text-align:left;padding:.3rem .8rem .3rem 0;border-bottom:1px solid var(--rule);vertical-align:top}
.plain thead th{color:var(--soft);font-size:.85rem}
.plain tbody th{font-weight:400;min-width:7.5rem}
.plain td.txt:last-child{min-width:11rem}
.plain:not(.confusion) thead th{min-width:3.8rem}
.plain td,.plain .num{white-space:nowrap}
.plain .txt,.plain.ranked td{white-space:normal}
@media (max-width:34rem){
.gauge,.key,.now{padding:.9rem}
.gauge{margin-left:-1rem;margin-right:-1rem;border-left:0;border-right:0;border-radius:0}
.staff .class th,.staff .class td{font-size:1.02rem}
.staff tbody th,.staff .values{padding-left:.5rem;padding-right:0}
.staff tbody th{width:6.4rem}
.cautions{font-size:.95rem}
.top{padding-top:1.2rem}
.values span{display:block;min-width:0;margin:0}
.staff .class .values span+span{font-size:.95rem}
.staff .edge th,.staff .edge td,.staff .not-seen th,.staff .not-seen td{font-size:.9rem}
.staff tbody .block{width:2rem;min-width:2rem}
.how{font-size:1.15rem}
.tablist{flex-direction:column}
.bars li{grid-template-columns:7.2rem 1fr 3rem;gap:.4rem}
}
`;
}

function trust(): string {
  return `
.trust{border-top:4px solid var(--ink);margin:1.6rem 0;padding-top:1rem}
.trust>h4{font-size:1.3rem;margin-top:0}
.trust h5{font-size:1rem;line-height:1.2;margin:1.1rem 0 .3rem}
.trust>h5{margin-top:1.6rem}
.flow{display:grid;gap:1.1rem 2rem}
@media (min-width:44rem){.flow{grid-template:"why rule" auto "wrong rule" 1fr "better lead" auto / 1fr 1fr}
.flow:not(:has(.is-lead)){grid-template:"why rule" auto "wrong better" 1fr / 1fr 1fr}
.is-why{grid-area:why}.is-wrong{grid-area:wrong}.is-rule{grid-area:rule}.is-lead{grid-area:lead}.is-better{grid-area:better}}
.trust .flow h5{margin-top:0}
.flow ul,.flow p{font-size:.95rem}
.piece .plot{min-height:6rem}
.meaning{font-size:1.08rem;max-width:46rem}
.meaning .grade{margin-right:.4rem}
.heed{border-left:4px solid var(--accent);padding-left:.7rem;font-weight:600}
.wrong{list-style:none;padding:0;margin:.4rem 0}
.wrong li{display:grid;grid-template-columns:8.2rem 1fr 7.4rem;gap:.6rem;align-items:center;margin:.2rem 0}
.wrong .track{position:relative;background:${GROUND};height:1.3rem;border:1px solid var(--rule)}
.wrong .track b{display:block;height:100%;background:var(--rule);border-right:2px solid var(--ink)}
.wrong .track i{position:absolute;top:50%;border-top:2px solid var(--ink)}
.wrong .share{font-variant-numeric:tabular-nums;font-weight:600;white-space:nowrap}
.piece>summary .finding{display:block;font-weight:400;font-size:.92rem;color:var(--soft);padding-left:1.1rem;max-width:52rem}
.piece[open]>summary .finding{display:none}
.piece .seen{background:${GROUND};padding:.5rem .8rem}
.small{max-width:40rem}
.why{margin:0;padding-left:1rem;min-width:16rem}
.confusion{min-width:0!important}
.plain.confusion th,.plain.confusion td{min-width:0}
.confusion th,.confusion td{border:1px solid var(--rule);padding:.3rem .6rem;text-align:center}
.confusion tbody th{text-align:left}
.confusion .same{outline:3px solid var(--ink);outline-offset:-3px;font-weight:700}
${[1, 2, 3, 4, 5].map((step) => `.confusion .s${step}{background:rgba(24,34,44,${(0.06 * step).toFixed(2)})}`).join('')}
@media (max-width:34rem){
.wrong li{grid-template-columns:7.6rem 1fr 6.4rem;gap:.4rem;font-size:.9rem}
}
`;
}

function gauges(): string {
  return `
.which,.else{background:var(--paper);border:1px solid var(--rule);border-radius:.3rem;padding:1.2rem;margin:1rem 0 1.6rem}
.choice{font-size:1.3rem;line-height:1.35;font-weight:600;margin:.4rem 0;text-wrap:balance}
.which>p:not(.choice){max-width:52rem}
.printed-choice{display:none}
.combined .how{font-size:1.1rem;max-width:52rem}
.ranked th,.ranked td{border-bottom:0;padding-right:.5rem}
.which .plain tbody th.num{min-width:2rem}
.ranked tbody .reason{border-bottom:1px solid var(--rule);padding:0 0 .5rem;min-width:0;font-size:.92rem;color:var(--soft)}
.ranked .reason p{margin:0;position:sticky;left:0;max-width:calc(100vw - 3.6rem)}
.ranked td small{white-space:nowrap}
.which .plain thead th{min-width:0}
.ranked tbody th{min-width:6rem}
.else .plain tbody th{min-width:5.4rem}
.else .plain tbody th.num{min-width:3.4rem}
.else .plain thead th{min-width:0}
@media (max-width:34rem){
.which,.else{padding:.9rem;margin-left:-1rem;margin-right:-1rem;border-left:0;border-right:0;border-radius:0}
.combined{padding:.6rem .8rem}
}
.else h4 small{margin-left:.3rem}
`;
}

function print(): string {
  return `
/* Figures are drawn for paper before the printer lays the page out: both must give them the same room. */
.printing main{width:690px;padding:0}
.printing .gauge,.printing .which,.printing .else{border:0;padding:0}
.printing .pair{grid-template-columns:335px 335px;gap:0 20px}
@media print{
@page{margin:11mm}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
html{font-size:12px}
body{background:none}
.top,main{width:690px;max-width:none;padding:0}
.top{padding-top:0}
.lede{max-width:none}
.top .cautions,.scale,.runs,.tablist,.skip,.now,.cursor,.mark,.tabs>.label,noscript,.mouse,details:not([open]):not(.piece){display:none!important}
.gauge{border:0;padding:0;margin:0}
.gauge>h3,.unfit[role=tabpanel]>h3{display:block}
.gauge:not(.unfit)>h3{display:none}
.run{break-before:page;border-top:0;padding-top:0;margin-top:.4rem}
.run:first-of-type{break-before:auto}
.key,figure,.refusal,tr{break-inside:avoid}
h2,h3,h4,caption{break-after:avoid}
.key{margin:.4rem 0}
.columns{grid-template-columns:1fr 1fr}
.pair{grid-template-columns:335px 335px;gap:0 20px}
.values span{min-width:13rem}
.in-print{display:block;columns:2;column-gap:2.2rem;font-size:.9rem;background:none;color:var(--ink);border:0;border-top:1px solid var(--ink);border-radius:0;margin:.6rem 0 0;padding:.5rem 0 0 1rem}
.staff .class{height:2.6rem}
.scroll{overflow:visible}
.source{break-before:auto}
.trust{margin:.6rem 0;padding-top:.6rem}
.which,.else{margin:.4rem 0;padding:0;border:0}
.which[data-short]:not(:has(details[open])){display:none}
.printed-choice{display:block;break-inside:avoid;margin:.8rem 0}
.choice{font-size:1.15rem}
.piece>summary{min-height:0;padding:.25rem 0;list-style:none}
.piece>summary .finding{padding-left:0;color:var(--ink)}
.piece:not([open]),.wrong{break-inside:avoid}
.small{max-width:500px}
}
`;
}
