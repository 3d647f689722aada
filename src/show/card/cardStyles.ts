import { FONT_STACK } from '../../chart/figures/figure.js';
import { INK, INK_SOFT, PAPER, RULE } from '../../chart/palette.js';
import { swatchCss, unseenCss } from '../page/swatch.js';

/** Styles of the cards: one column on a screen of any width, one card a sheet of A5 on paper. */
export function cardStyles(classCounts: readonly number[]): string {
  return `
:root{color-scheme:light}
*,*::before,*::after{box-sizing:border-box}
body{margin:0;background:#eef0ef;color:${INK};font:15px/1.4 ${FONT_STACK};overflow-wrap:anywhere}
.card{background:${PAPER};border:2px solid ${INK};max-width:36rem;margin:1rem auto;padding:1rem}
h1,h2,p,ul,table{margin:0}
h1{font-size:1.25em;line-height:1.2}
h2{font-size:.85em;color:${INK_SOFT}}
header{display:flex;flex-wrap:wrap;gap:.2em 1em;justify-content:space-between;align-items:baseline}
.grade{font-weight:700;white-space:nowrap}
.steps{letter-spacing:.1em}
.warn{font-weight:700;background:${INK};color:${PAPER};padding:.25em .6em;margin:.5em 0}
.how{font-size:1.18em;font-weight:600;line-height:1.3;text-wrap:balance}
.small,.key,.made{font-size:.85em}
.key,.made{color:${INK_SOFT}}
table{width:100%;border-collapse:collapse;margin:.6em 0 .2em;font-variant-numeric:tabular-nums}
th,td{text-align:left;padding:.15em .4em;vertical-align:middle}
thead th{font-size:.85em;color:${INK_SOFT};padding-bottom:.1em}
tbody th{font-weight:400}
tbody .class th{font-weight:700}
.edge th,.edge td:not(.block){border-top:1px solid ${RULE};border-bottom:1px solid ${RULE}}
.edge th,.edge td,.not-seen th,.not-seen td{font-size:.93em}
.block{width:2.6em;padding:0;height:1px;border-left:2px solid ${INK};border-right:2px solid ${INK}}
tbody tr:first-child .block{border-top:2px solid ${INK}}
tbody tr:last-child .block{border-bottom:2px solid ${INK}}
.block div{height:100%;min-height:1.5em;display:flex;flex-direction:column}
.block span{flex:1;display:flex;align-items:center;justify-content:center}
.unseen{${unseenCss()}}
.sy{display:block;width:13px;height:13px}
.defs{position:absolute}
.cautions{border:2px solid ${INK};padding:.5em .6em .5em 1.6em;margin:.7em 0}
.cautions li:first-child{font-weight:700}
.notes{padding-left:1.5em;font-size:.85em}
section{margin-top:.5em}
${swatchCss(classCounts)}
@page{size:148mm 210mm;margin:7mm}
@media print{
*{print-color-adjust:exact;-webkit-print-color-adjust:exact}
body{background:none;font-size:9pt;line-height:1.25}
h1{font-size:1.2em}
.how{font-size:1.15em}
th,td{padding-top:0;padding-bottom:0}
table{margin:.4em 0 .2em}
.cautions{margin:.5em 0}
section{margin-top:.35em}
.card{border:0;max-width:none;margin:0;padding:0;break-after:page}
.card:last-child{break-after:auto}
.cautions,tr,header{break-inside:avoid}
}
`;
}
