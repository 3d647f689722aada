import { FONT_STACK } from '../../chart/figures/figure.js';
import { ACCENT, ACCENT_BAND, BANDS, BAR, INK, INK_SOFT, PAPER, RULE, UNSEEN, VEIL } from '../../chart/palette.js';
import { swatchCss, unseenCss } from './swatch.js';

/** What each colour of the page and its drawings becomes on a dark screen; colours of classes stay. */
const DARK: readonly (readonly [light: string, dark: string])[] = [
  [INK, '#e8edf0'],
  [INK_SOFT, '#aab6be'],
  [PAPER, '#141b21'],
  [RULE, '#3b4852'],
  [ACCENT, '#f0a273'],
  [BAR, '#8798a3'],
  [UNSEEN.line, '#5f6c76'],
  [UNSEEN.ground, '#1d262d'],
  [VEIL, 'rgba(20,27,33,0.85)'],
  [BANDS.dark, 'rgba(170,182,190,0.38)'],
  [BANDS.light, 'rgba(170,182,190,0.18)'],
  [ACCENT_BAND, 'rgba(240,162,115,0.2)'],
];
const VARIABLES: Readonly<Record<string, string>> = {
  ink: INK,
  soft: INK_SOFT,
  paper: PAPER,
  rule: RULE,
  accent: ACCENT,
};

/** All styles of the page: our own sheet, no framework; the same on screen and on paper. */
export function pageStyles(classCounts: readonly number[]): string {
  return [
    BASE,
    ANSWER,
    BEHIND,
    swatchCss(classCounts),
    `.not-seen .block span{${unseenCss()}}`,
    dark(),
    WIDE,
    PRINT,
  ].join('\n');
}

function dark(): string {
  const turned = new Map(DARK);
  const variables = Object.entries(VARIABLES).map(([name, light]) => `--${name}:${turned.get(light)!}`);
  const drawings = DARK.flatMap(([light, colour]) =>
    ['fill', 'stroke'].map((key) => `.fig [${key}="${light}"]{${key}:${colour}}`),
  );
  return `@media screen and (prefers-color-scheme:dark){
:root{color-scheme:dark;--ground:#0c1115;${variables.join(';')}}
${drawings.join('\n')}
.not-seen .block span{background:repeating-linear-gradient(135deg,#5f6c76 0 1px,#1d262d 1px 6px)}
}`;
}

const BASE = `
:root{color-scheme:light;--ground:#eceeed;${Object.entries(VARIABLES)
  .map(([name, colour]) => `--${name}:${colour}`)
  .join(';')}}
*,*::before,*::after{box-sizing:border-box}
[hidden]{display:none!important}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%;scroll-padding-top:4.5rem}
body{margin:0;background:var(--ground);color:var(--ink);font:1rem/1.45 ${FONT_STACK};overflow-wrap:anywhere}
h1,h2,h3,h4,p,ul,figure,table{margin:0}
h1{font-size:1.5rem;line-height:1.15;letter-spacing:-.01em}
h2{font-size:1.3rem;line-height:1.2;text-wrap:balance}
h3,h4{font-size:1.08rem;line-height:1.25;margin:1.3rem 0 .3rem}
ul{padding-left:1.15rem}
li{margin:.2rem 0}
a{color:inherit;text-underline-offset:.15em}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
.note,.label,figcaption,caption{font-size:.875rem;color:var(--soft)}
.vh{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip{position:absolute;left:-99rem;background:var(--paper);padding:.6rem 1rem;z-index:3}
.skip:focus{left:.5rem;top:.5rem}
.defs{position:absolute}
.heed{position:sticky;top:0;z-index:2;background:var(--ink);color:var(--paper)}
.heed details,.top,main{max-width:76rem;margin:0 auto;padding:0 1rem}
.heed summary{padding:.5rem 0;min-height:2.75rem;font-weight:700;border:0}
.heed summary span{font-weight:400;text-decoration:underline;white-space:nowrap}
.heed ul{max-height:60vh;overflow-y:auto;padding-bottom:.8rem;margin:0}
.top{padding-top:.8rem;padding-bottom:.2rem}
.runs{display:flex;flex-wrap:wrap;gap:0 1.2rem;list-style:none;padding:0;margin:.3rem 0 0}
.runs a{display:inline-block;padding:.2rem 0;min-height:1.75rem}
.run{background:var(--paper);border-top:6px solid var(--ink);margin:.8rem -1rem 0;padding:.9rem 1rem 1.1rem}
.cautions{border-left:6px solid var(--accent);padding:.1rem 0 .1rem .8rem;margin:1rem 0;font-size:.95rem}
.cautions p{font-weight:700}
.cautions li{break-inside:avoid}
.calc+.note{margin-top:.6rem}
.refusal{border:2px dashed var(--soft);padding:.7rem .9rem;margin:.6rem 0;font-weight:600}
.caution{font-weight:600}
p+p{margin-top:.4rem}
`;

const ANSWER = `
.answer{margin:.5rem 0 .8rem}
.by{font-size:1.1rem}
.answer .how{font-size:1.1rem;font-weight:600;line-height:1.3;margin:.15rem 0 .45rem}
.good{font-weight:600;display:flex;gap:.6rem;align-items:flex-start}
.grade{margin-top:.45rem}
.steps i{display:inline-block;width:.72rem;height:.72rem;margin-right:.2rem}
.steps i{border:2px solid currentColor;border-radius:50% 50% 50% 0;transform:rotate(135deg)}
.steps .on{background:currentColor}
.sw{display:inline-flex;align-items:center;justify-content:center}
.sw{width:1.5rem;height:1.5rem;border:1px solid var(--ink);border-radius:.15rem;flex:none}
.sy{display:block;width:13px;height:13px}
.calc{background:var(--ground);border-radius:.3rem;padding:.7rem .9rem .8rem}
.ask{font-weight:700;font-size:1.1rem}
.fields{display:flex;flex-wrap:wrap;gap:.4rem 1rem;align-items:end;margin:.4rem 0}
.field{display:inline-flex;flex-wrap:wrap;gap:.1rem .4rem;align-items:center;max-width:100%}
.field label{flex:1 0 100%}
.fields input,.fields select{font:inherit;font-size:1.1rem;padding:.3rem .5rem;min-height:2.75rem}
.fields input,.fields select{border:2px solid var(--ink);border-radius:.25rem;background:var(--paper);color:var(--ink);max-width:100%}
.fields input{width:6rem}
.said{font-weight:600}
.bars{list-style:none;padding:0;margin:.5rem 0}
.bars li{display:flex;flex-wrap:wrap;gap:.1rem .6rem;align-items:center;margin:.2rem 0}
.word{flex:0 1 6.3rem;display:flex;align-items:center;gap:.4rem}
.track{flex:1 1 3.5rem;position:relative;background:var(--paper);height:1.3rem;border:1px solid var(--rule)}
.bar{display:block;height:100%;width:0}
.track i{position:absolute;top:calc(50% - 1px);border-top:3px solid var(--accent)}
.percent{font-variant-numeric:tabular-nums;flex:0 1 auto;min-width:7.6rem}
.near:empty,.told:empty{display:none}
.way{margin-top:.2rem}
.way .log input{width:100%}
.way select{flex:1 1 9rem;min-width:0;width:9rem}
.way .fields input[type=time]{width:8.2rem}
.way .field{width:100%}
.way textarea,.way button{border:2px solid var(--ink);background:var(--paper);color:var(--ink)}
.way textarea{width:100%;font:.875rem/1.4 monospace;white-space:pre;overflow-x:auto}
.way button{font:inherit;font-weight:600;min-height:2.75rem;padding:.3rem 1rem;border-radius:.25rem}
.way a{display:inline-block;padding:.6rem}
.near{font-size:.875rem}
.staff{width:100%;border-collapse:collapse;font-variant-numeric:tabular-nums;height:1px;margin-top:1rem}
.staff caption,.plain caption{text-align:left;padding-bottom:.3rem}
.staff tbody th{text-align:left;padding:.25rem .3rem .25rem .8rem;min-width:6.4rem;width:6.4rem;font-weight:400;vertical-align:top}
.staff td{padding:.25rem 0;vertical-align:top}
.staff .class th,.staff .class td{font-size:1.05rem}
.staff .class th{font-weight:700}
.staff .edge th,.staff .edge td,.staff .not-seen th,.staff .not-seen td{font-size:.875rem;color:var(--soft)}
.staff td:not(.block)>span{color:var(--soft)}
.staff .class td:not(.block)>span{display:inline-block;color:var(--soft);font-size:.95rem}
.staff tbody .block{width:2.4rem;padding:0;height:inherit;border:2px solid var(--ink);border-width:0 2px}
.staff tr:first-child .block{border-top-width:2px}
.staff tr:last-child .block{border-bottom-width:2px}
.block span{display:flex;align-items:center;justify-content:center;height:100%}
.edge .block{position:relative}
.edge .block span{height:50%}
.edge .block::after{content:"";position:absolute;left:0;right:-.6rem;top:calc(50% - 1px);border-top:2px solid var(--ink)}
`;

const BEHIND = `
figure{margin:1rem 0 .4rem}
.paper{position:relative;touch-action:pan-y}
.paper:has([data-mark]){cursor:crosshair}
.fig svg{display:block;width:100%;height:auto;font-family:inherit}
.wide{display:none}
[data-mark],[data-mark] div{position:absolute;inset:0;pointer-events:none}
[data-mark] i{position:absolute;margin-left:-1px}
.typed{border-left:3px solid var(--accent)}
.pointed{border-left:2px dashed var(--ink)}
.cursor{min-height:1.5em}
details{border-top:1px solid var(--rule)}
summary h2{display:inline}
summary{cursor:pointer;font-weight:600;padding:.55rem 0;min-height:2.75rem}
.heed details{border:0}
.behind{margin:.8rem 0 2rem}
.behind>details{background:var(--paper);margin:0 -1rem;padding:0 1rem}
.behind>details[open]{padding-bottom:1.2rem}
.behind h3{font-size:1.2rem;border-top:4px solid var(--ink);padding-top:.6rem}
.behind details details{margin-left:.8rem}
.scroll{overflow-x:auto;margin:.6rem 0 1rem}
.plain{border-collapse:collapse;font-size:.92rem;font-variant-numeric:tabular-nums;min-width:100%;overflow-wrap:normal}
.plain caption{color:var(--ink);font-weight:600}
.plain th,.plain td{text-align:left;padding:.28rem .8rem .28rem 0;border-bottom:1px solid var(--rule);vertical-align:top;min-width:3.5rem}
.plain thead th{color:var(--soft);font-size:.85rem;vertical-align:bottom}
.plain tbody th{font-weight:400;min-width:7rem}
.plain .n{text-align:right;white-space:nowrap}
.files{font-size:.85rem;word-break:break-all}
`;

const WIDE = `
@media (max-width:30rem){html{font-size:93.75%}}
@media (min-width:44rem){.wide{display:block}.narrow{display:none}.heed ul,.cautions ul{columns:2 18rem;column-gap:2rem}}
@media (min-width:62rem){
.run{display:grid;grid-template:"name name" auto "card figure" auto "levels figure" auto "levels heed" 1fr}
.run{grid-template-columns:minmax(0,27rem) minmax(0,1fr);gap:0 2rem;margin:.8rem 0 0;padding:1rem 1.4rem 1.2rem}
.run>h2{grid-area:name}
.is-card{grid-area:card}
.is-levels{grid-area:levels}
.is-figure{grid-area:figure}
.cautions{grid-area:heed;align-self:start}
.run figure{margin-top:0}
.behind>details{margin:0;padding:0 1.4rem}
.behind figure{max-width:46rem}
.behind p,.behind ul{max-width:52rem}
}`;

const PRINT = `
@media print{
@page{margin:12mm}
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
html{font-size:12px}
body,.calc{background:none}
.skip,.runs,.calc,.heed,[data-mark],.cursor,noscript,details:not([open]){display:none!important}
.top,main,.run{max-width:none;padding-left:0;padding-right:0;margin-left:0;margin-right:0}
.run{display:grid;grid-template:"name name" auto "card figure" auto "levels figure" auto "heed heed" auto}
.run{grid-template-columns:24rem minmax(0,1fr);border-top-width:3px;gap:0 1.5rem;break-inside:avoid}
.run>h2{grid-area:name}
.is-card{grid-area:card}
.is-levels{grid-area:levels}
.is-figure{grid-area:figure}
.cautions{grid-area:heed}
.cautions{break-inside:avoid}
.wide{display:block}
.narrow{display:none}
figure,tr{break-inside:avoid}
h2,h3,h4,caption{break-after:avoid}
.scroll{overflow:visible}
.behind:not(:has(details[open])){display:none}
}`;
