/** Ink on paper, hatched as a survey sheet is; one look for screen in light and dark, one for A4. */
export const PAGE_STYLE = `
:root{color-scheme:light dark;--paper:#fbf8f0;--sheet:#fffdf7;--ink:#22262b;--soft:#5d594f;--rule:#d5ccb8;--faint:#e9e2d2;--clear:#1c6ea4;--thin:#9a5b00;--fail:#b02a14;--unknown:#6b6b68;--earth:#7d6130;--washclear:#cfe3f1;--washthin:#f6e3bd;--washfail:#d9573f;--washearth:#efe5cf;--washink:#d9d6cf;--need:#7f6aa8;--washneed:#ece7f5;--halo:#fffdf7;--serif:Charter,"Bitstream Charter","Sitka Text",Cambria,Georgia,"DejaVu Serif",serif;--sans:"Avenir Next","Segoe UI","Helvetica Neue","DejaVu Sans",Arial,sans-serif}
@media screen and (prefers-color-scheme:dark){:root{--paper:#15181b;--sheet:#1b1f23;--ink:#ece6d8;--soft:#b3ab9b;--rule:#444a4f;--faint:#2a2f34;--clear:#74bdea;--thin:#f0b44a;--fail:#ff8163;--unknown:#a6a6a0;--earth:#c8a76a;--washclear:#1f3d50;--washthin:#4a3a18;--washfail:#a83d28;--washearth:#2e2a20;--washink:#3a3f44;--need:#b5a3dd;--washneed:#2b2738;--halo:#1b1f23}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:17px/1.5 var(--serif);-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:1080px;padding:0 20px 96px}
a{color:var(--clear)}
.skip{position:absolute;left:-999em;background:var(--sheet);padding:8px 14px}
.skip:focus{left:12px;top:12px;z-index:3}
:focus-visible{outline:3px solid var(--clear);outline-offset:2px}
header.title{border-bottom:1px solid var(--ink);box-shadow:0 4px 0 var(--paper),0 5px 0 var(--ink);padding:26px 0 12px;margin-bottom:26px;display:flex;flex-wrap:wrap;justify-content:space-between;align-items:baseline;gap:4px 24px}
header.title p{margin:0;font:13px/1.4 var(--sans);color:var(--soft)}
h1{font-size:25px;line-height:1.2;margin:0;font-weight:600;overflow-wrap:anywhere}
h1 .kind{display:block;font:600 12px/1.6 var(--sans);letter-spacing:.16em;text-transform:uppercase;color:var(--soft)}
h2{font-size:21px;margin:44px 0 8px}
h3{font-size:20px;font-weight:600;margin:52px 0 12px;padding-bottom:5px;border-bottom:1px solid var(--rule);display:flex;gap:14px;align-items:baseline}
h3 .no{font:600 13px/1 var(--sans);color:var(--soft);min-width:1.2em}
h4{font:600 17px/1.3 var(--sans);margin:0 0 2px}
p{margin:6px 0 10px;max-width:74ch}
.none{color:var(--soft);font-style:italic}
nav.flights{font:14px/1.6 var(--sans)}
.block{display:grid;grid-template-columns:auto minmax(0,1fr) minmax(230px,290px);gap:20px 28px;align-items:start}
.stamp{border:2px solid var(--ink);padding:4px;min-width:132px}
.stamp .word{display:block;text-align:center;font:700 23px/1 var(--sans);letter-spacing:.08em;padding:22px 12px;background:var(--sheet)}
.stamp.clear{border-color:var(--clear);color:var(--clear)}
.stamp.thin{border-color:var(--thin);color:var(--thin);background:repeating-linear-gradient(45deg,var(--thin) 0 2px,var(--washthin) 2px 7px)}
.stamp.fail{border-color:var(--fail);color:var(--fail);background:repeating-linear-gradient(45deg,var(--sheet) 0 1.5px,transparent 1.5px 6px),repeating-linear-gradient(-45deg,var(--sheet) 0 1.5px,var(--fail) 1.5px 6px)}
.stamp.unknown{border:2px dotted var(--unknown);color:var(--unknown)}
.headline{font-size:19px;line-height:1.4;margin-top:0}
.which{font:600 13px/1.4 var(--sans);color:var(--soft);margin:0}
.scoreline{font:15px/1.4 var(--sans)}
.scoreline .figure{font:600 32px/1 var(--serif);font-variant-numeric:lining-nums tabular-nums}
.of{color:var(--soft)}
.facts{margin:12px 0 0;display:flex;flex-wrap:wrap;gap:6px 26px;font:14px/1.35 var(--sans)}
.facts div{min-width:0}.facts dt{color:var(--soft);font-size:12px}.facts dd{margin:0;font-variant-numeric:tabular-nums}
.facts .hash{flex-basis:100%}.hash code{overflow-wrap:anywhere}
table{border-collapse:collapse;font:14px/1.4 var(--sans);font-variant-numeric:tabular-nums}
.wide table{width:100%}
th,td{text-align:right;padding:5px 10px;border-bottom:1px solid var(--faint);vertical-align:baseline}
th:first-child,td.prose,th.prose{text-align:left}
tbody th,tfoot th{font-weight:500}
th.prose{text-align:left}
thead th{font-weight:600;font-size:12.5px;color:var(--soft);border-bottom:1px solid var(--ink);vertical-align:bottom}
td.prose{color:var(--soft);overflow-wrap:anywhere}
th.prose{text-align:left}
tr.assumed td,tr.assumed th{background:repeating-linear-gradient(45deg,transparent 0 7px,var(--faint) 7px 8px)}
.ledger{width:100%;background:var(--sheet);border:1px solid var(--rule)}
.ledger caption{font:600 12.5px/1.4 var(--sans);color:var(--soft);text-align:left;padding-bottom:4px}
.ledger tfoot th,.ledger tfoot td{border-top:1px solid var(--ink);border-bottom:4px double var(--ink);font-weight:700;font-size:16px}
div.ledger{padding:8px 14px;font-size:15px}
figure{margin:14px 0 22px}
figcaption{font:13.5px/1.5 var(--sans);color:var(--soft);max-width:96ch;margin-top:6px}
.wide{overflow-x:auto;max-width:100%}
.picture>.wide,.picture>div.wide{background:var(--sheet);border:1px solid var(--rule)}
.picture table{background:var(--sheet)}
.picture>.wide>svg{display:block;width:100%;min-width:700px;height:auto}
svg{font:12px var(--sans);overflow:hidden}
svg text{fill:var(--ink);font-variant-numeric:tabular-nums}
svg path,svg line{fill:none;stroke:var(--ink);vector-effect:none}
.defs{position:absolute;width:0;height:0}
.middle text,text.middle{text-anchor:middle}.end text,text.end{text-anchor:end}.start text{text-anchor:start}
.axis path,.axis line{stroke:var(--soft)}.axis text,.grid text{fill:var(--soft)}
.grid path{stroke:var(--faint)}
.label{fill:var(--soft);font-size:12px}
.inside text{fill:var(--soft);paint-order:stroke;stroke:var(--halo);stroke-width:4px;stroke-linejoin:round}
.note{font-size:11.5px;fill:var(--soft);paint-order:stroke;stroke:var(--halo);stroke-width:4px}
.w-clear{fill:var(--washclear)}.w-thin{fill:var(--washthin)}.w-fail{fill:var(--washfail)}.w-earth{fill:var(--washearth)}.w-ink{fill:var(--washink)}.w-need{fill:var(--washneed)}
svg .k-thin{stroke:var(--thin)}svg .k-paper{stroke:var(--sheet)}svg .k-earth{stroke:var(--earth);stroke-opacity:.55}svg .k-ink{stroke:var(--soft);stroke-opacity:.6}svg .k-need{stroke:var(--need);stroke-opacity:.5}
.k-dot{fill:var(--unknown)}
.keep{fill:url(#h-keep);opacity:.55}.floor{stroke:var(--soft);stroke-dasharray:2 3}
.need{fill:url(#h-need);stroke:none}.need-edge{stroke:var(--need);stroke-width:2.2}.upper-edge{stroke:var(--need);stroke-width:1.6;stroke-dasharray:1.5 4;stroke-linecap:round}
svg path.need{fill:url(#h-need);stroke:none}svg path.short.thin{fill:url(#h-thin);stroke:none}svg path.short.fail{fill:url(#h-fail);stroke:none}
.battery{stroke-width:3.4;stroke-linejoin:round}svg path.halo{stroke:var(--halo);stroke-width:7;stroke-linejoin:round}
.ends text{font-size:12.5px}
.turnback path{stroke-width:1.6}svg .turnback .pennant{fill:var(--ink);stroke-width:1}.turnback text{font-weight:600;paint-order:stroke;stroke:var(--halo);stroke-width:4px}
.line{stroke-width:2.4;stroke-linejoin:round;stroke-linecap:butt}
svg path.line.clear{stroke:var(--clear)}svg path.line.thin{stroke:var(--thin);stroke-width:4;stroke-dasharray:9 4}svg path.line.guess{stroke:var(--thin);stroke-width:3;stroke-dasharray:3 4}svg path.line.fail{stroke:var(--fail);stroke-width:7}svg path.line.rungs{stroke:var(--halo);stroke-width:3.4;stroke-dasharray:2.4 4}svg path.line.unknown{stroke:var(--unknown);stroke-width:3;stroke-dasharray:1 5;stroke-linecap:round}
.band{stroke:none}.band.clear{fill:url(#h-clear)}.band.thin{fill:url(#h-thin)}.band.guess{fill:url(#h-guess)}.band.fail{fill:url(#h-fail)}.band.unknown{fill:url(#h-unknown)}
.row>text{text-anchor:end}.row .note{text-anchor:start}svg .row .base{stroke:var(--rule)}svg .bracket.thin{stroke:var(--thin);stroke-width:2.4;stroke-dasharray:6 2}svg .bracket.fail{stroke:var(--fail);stroke-width:3.2}
svg .terra{fill:url(#h-earth);stroke:var(--earth);stroke-width:1.8}.stands rect{fill:url(#h-solid);stroke:var(--soft);stroke-width:.6}
svg .unseen{fill:url(#h-unknown);stroke:none}
svg .way{stroke-width:2.4}.wide-halo{stroke-width:9}svg .plumb{stroke:var(--soft);stroke-dasharray:1 4}svg .limit{stroke:var(--soft);stroke-dasharray:7 5}
.dimension path{stroke-width:1.5}.dimension text{font-weight:600;font-size:13px;paint-order:stroke;stroke:var(--halo);stroke-width:5px;stroke-linejoin:round}
.mark path{stroke-width:2.2;stroke-linecap:square}.mark path.halo{stroke-width:6}.mark.former path:not(.halo){stroke:var(--soft);stroke-width:1.6}svg .mark.here path:not(.halo){fill:var(--halo)}
.tag path{fill:var(--ink);stroke:var(--halo);stroke-width:1.5}svg .tag path{fill:var(--ink)}svg .tag text{fill:var(--paper);text-anchor:middle;font-weight:700}
.cross{pointer-events:none}svg .cross path{stroke:var(--ink);stroke-width:2}svg .cross path.halo{stroke:var(--halo);stroke-width:6}svg .cross .hair{stroke-width:1.4;stroke-dasharray:5 2}
.used{fill:none;stroke:var(--rule);stroke-dasharray:3 3}.left{fill:url(#h-clear);stroke:var(--clear)}
.phase{stroke:var(--ink);stroke-width:1}.phase.delay,.swatch.delay{fill:var(--sheet)}.phase.climb{fill:url(#h-climb)}.phase.transit{fill:url(#h-transit)}.phase.descent{fill:url(#h-descent)}.phase.landing{fill:url(#h-landing)}.phase.endless{fill:url(#h-fail);stroke:var(--fail)}
.names text{font-size:12px}.short-of{fill:url(#h-fail);stroke:var(--fail);stroke-width:2}svg .short-text{fill:var(--fail);font-weight:700}
.limits path{stroke-width:2}.limits path.floor{stroke:var(--ink);stroke-dasharray:2 2}.limits text{fill:var(--soft)}
.swatch{display:inline-block;width:20px;height:12px;border:1px solid var(--ink);vertical-align:-1px;margin-right:4px;background:var(--sheet)}
.swatch.climb{background:repeating-linear-gradient(90deg,var(--washink) 0 3px,var(--soft) 3px 4px)}.swatch.transit{background:repeating-linear-gradient(0deg,var(--washneed) 0 3px,var(--need) 3px 4px)}.swatch.descent{background:repeating-linear-gradient(135deg,var(--washink) 0 3px,var(--soft) 3px 4px)}.swatch.landing{background:var(--soft)}
.budget .sum th,.budget .sum td{border-top:1px solid var(--ink);border-bottom:4px double var(--ink);font-weight:700}
.ground{fill:var(--sheet)}.neat{fill:none;stroke:var(--ink);stroke-width:1.2}.neat.outer{stroke-width:2.4}
svg .contour{fill:var(--earth);fill-opacity:.032;stroke:var(--earth);stroke-opacity:.5;stroke-width:.8}svg .contour.index{stroke-opacity:.85;stroke-width:1.5}svg .level{fill:var(--earth);font-size:11px;text-anchor:middle;paint-order:stroke;stroke:var(--halo);stroke-width:4px}
svg .obstacle{fill:url(#h-solid);stroke:var(--ink);stroke-width:1}svg .obstacle-line{stroke:var(--ink);stroke-dasharray:2 4}svg .obstacle-point path{stroke-width:2}
svg .zone{fill:url(#h-zone);stroke:var(--earth);stroke-width:1.6;stroke-dasharray:8 3 2 3}
.place{font-size:11.5px;paint-order:stroke;stroke:var(--halo);stroke-width:4px;stroke-linejoin:round}
svg .walk{stroke:var(--ink);stroke-width:1.6;stroke-dasharray:1 4;stroke-linecap:round}svg .moved{stroke:var(--ink);stroke-dasharray:2 5}svg .home{stroke:var(--ink);stroke-width:1.3;stroke-dasharray:11 5}svg .leader{stroke-width:1.2}
.scale .full{fill:var(--ink);stroke:var(--ink)}.scale .void{fill:var(--sheet);stroke:var(--ink)}.north path{stroke-width:1.8}.north text{text-anchor:middle;font-weight:600}
.legend{list-style:none;margin:6px 0 0;padding:0;display:flex;flex-wrap:wrap;gap:4px 20px}.legend svg{width:44px;height:16px;vertical-align:-3px}.legend svg[viewBox^="-16"]{width:26px;height:21px}
.chip{white-space:nowrap}.chip::before{content:"";display:inline-block;width:22px;height:11px;margin-right:5px;vertical-align:-1px;border:1px solid var(--rule)}
.chip.clear::before{background:var(--washclear)}.chip.thin::before{background:repeating-linear-gradient(45deg,var(--thin) 0 2px,var(--washthin) 2px 5px)}.chip.guess::before{background:repeating-linear-gradient(45deg,var(--thin) 0 1px,transparent 1px 6px)}.chip.fail::before{background:repeating-linear-gradient(45deg,var(--sheet) 0 1.2px,transparent 1.2px 5px),repeating-linear-gradient(-45deg,var(--sheet) 0 1.2px,var(--washfail) 1.2px 5px)}.chip.unknown::before{background:radial-gradient(circle at 30% 30%,var(--unknown) 0 1px,transparent 1.4px) 0 0/5px 5px}
.verdictword{font-weight:700;text-transform:uppercase;letter-spacing:.05em;font-size:.92em}.verdictword.fail{color:var(--fail)}.verdictword.thin{color:var(--thin)}.verdictword.clear{color:var(--clear)}.verdictword.unknown{color:var(--unknown)}
article.finding{border-left:5px solid var(--rule);padding:2px 0 4px 18px;margin:22px 0 40px}
article.finding.fail{border-left-color:var(--fail)}article.finding.thin{border-left:5px dashed var(--thin)}
article.finding.now{background:linear-gradient(90deg,var(--faint),transparent 40%)}
.tagbox{display:inline-block;min-width:24px;padding:2px 6px;background:var(--ink);color:var(--paper);font:700 13px/1.3 var(--sans);text-align:center;clip-path:polygon(0 0,calc(100% - 6px) 0,100% 6px,100% 100%,0 100%);vertical-align:2px}
.when{font:14px/1.4 var(--sans);color:var(--soft);margin:0 0 6px}.basis{color:var(--soft)}
details{margin:8px 0}summary{cursor:pointer;font:14px/1.6 var(--sans);color:var(--soft)}summary:hover{color:var(--ink)}
.guesses,.notes{font:14px/1.5 var(--sans);padding-left:20px}
pre{background:var(--sheet);border:1px solid var(--rule);padding:10px 14px;overflow-x:auto;font-size:13.5px}
.index{white-space:nowrap}.index th:first-child,.index td.prose{white-space:normal}.index th:first-child{overflow-wrap:anywhere;min-width:160px}
.index th button{font:inherit;color:inherit;background:none;border:0;border-bottom:1px dotted var(--soft);padding:0;cursor:pointer}.index th[aria-sort=ascending] button::after{content:" \\2191"}.index th[aria-sort=descending] button::after{content:" \\2193"}
.strip{width:168px;height:15px;display:block;border-bottom:1px solid var(--rule)}.legendline{font:13.5px/1.5 var(--sans);color:var(--soft);max-width:none}
.sign path{stroke-width:2.6}.sign.clear path{stroke:var(--clear)}.sign.thin path{stroke:var(--thin)}.sign.fail path{stroke:var(--fail)}svg .trendline{stroke:var(--rule);stroke-width:1.4}
.block.pair{grid-template-columns:auto minmax(0,1fr)}td .verdictword{white-space:nowrap}th ul.notes{margin:4px 0;font-size:inherit;font-weight:400;color:var(--soft)}code.hash,td.hash{overflow-wrap:anywhere}td.hash code{font-size:12px}@media print{td.hash code{font-size:7pt}}
.signatures{display:grid;grid-template-columns:1fr 1fr;gap:36px;margin-top:20px;break-inside:avoid}.signature .role{font:600 15px/1.4 var(--sans);margin:0 0 8px}.signature dl{margin:0;font:14px/1.4 var(--sans)}.signature dl div{display:flex;gap:12px;align-items:flex-end;border-bottom:1px solid var(--ink);padding:2px 0;min-height:44px}.signature dl div:last-child{min-height:84px}.signature dt{color:var(--soft);font-size:12px;min-width:72px}.signature dd{margin:0;overflow-wrap:anywhere}
.cautions{border-top:1px solid var(--ink);margin-top:60px;padding-top:12px;font-size:15.5px}
.cautions ul{padding-left:20px;margin:6px 0}.cautions li{margin:3px 0;max-width:90ch}
.moment{position:fixed;z-index:2;left:0;right:0;bottom:0;background:var(--ink);color:var(--paper);font:14.5px/1.4 var(--sans);font-variant-numeric:tabular-nums;padding:9px 22px}
.moment:empty{display:none}.moment b{letter-spacing:.03em}
@media (max-width:860px){.block,.block.pair,.signatures{grid-template-columns:1fr}.stamp{max-width:220px}}
@media print{@page{size:A4;margin:14mm 13mm}html{font-size:10.5pt;background:none}body{max-width:none;padding:0}.moment,.skip,.cross{display:none}.picture>.wide,.picture>div.wide{background:none;border:none}.picture>.wide>svg{min-width:0}.wide{overflow:visible}*{print-color-adjust:exact;-webkit-print-color-adjust:exact}figure,article.finding>p,.block,tr,h4{break-inside:avoid}h3,h4,.when{break-after:avoid}.cautions{break-inside:avoid}header.title{padding-top:0}details:not([open]){display:none}table{font-size:8.5pt}th,td{padding:3px 6px}h3{margin-top:26px}.block{grid-template-columns:auto minmax(0,1fr) 215px;gap:14px}.block.pair{grid-template-columns:auto minmax(0,1fr)}.signatures{grid-template-columns:1fr 1fr}section:has(.signatures){break-inside:avoid}.wide table{width:100%}}
`;
