"""The style of a gearing's page: light and dark, narrow and wide, screen and paper."""

from typing import Final

STYLE: Final = """\
:root{color-scheme:light dark;--ink:#1c2126;--soft:#4a545e;--paper:#fff;--sheet:#f3f5f7;--rule:#9aa5b0;
--band:#b9d3ea;--middle:#12507f;--limit:#a3211b;--legal:#5a3d8a;--good:#dcefe0;--stop:#f6dedb}
@media (prefers-color-scheme:dark){:root{--ink:#e6eaee;--soft:#b4bec8;--paper:#14181c;--sheet:#1f252b;--rule:#5d6974;
--band:#274a68;--middle:#9fd0f7;--limit:#ff9d94;--legal:#cbb4f5;--good:#1d3a27;--stop:#4a2422}}
*{box-sizing:border-box}
body{margin:0 auto;max-width:62rem;padding:1rem;background:var(--paper);color:var(--ink);
font:1rem/1.5 system-ui,sans-serif;overflow-wrap:anywhere}
h1{font-size:1.5rem;line-height:1.2;margin:0 0 .25rem}
h2{font-size:1.2rem;margin:2rem 0 .5rem;border-bottom:1px solid var(--rule);padding-bottom:.2rem}
p{margin:.4rem 0;max-width:46rem}
ul,ol{padding-left:1.4rem;max-width:46rem}
li{margin:.3rem 0}
a{color:var(--middle)}
.skip{position:absolute;left:-100vw}
.skip:focus{position:static}
.file,figcaption,footer{color:var(--soft)}
.start{font-size:1.15rem;font-weight:600;background:var(--sheet);border-left:.3rem solid var(--middle);padding:.5rem .75rem}
.none{border-left-color:var(--limit)}
dl{display:grid;grid-template-columns:minmax(6rem,max-content) 1fr;gap:.2rem 1rem;margin:.5rem 0}
dt{color:var(--soft)}
dd{margin:0}
@media (max-width:30rem){dl{grid-template-columns:1fr}dd{margin-bottom:.4rem}}
figure{margin:0}
svg{display:block;width:100%;max-width:28rem;height:auto;font:13px system-ui,sans-serif}
svg text{fill:var(--ink);paint-order:stroke;stroke:var(--paper);stroke-width:3px;stroke-linejoin:round}
.grid{stroke:var(--rule);stroke-width:.4}
.tick{stroke:var(--rule)}
.band{fill:var(--band)}
.middle{fill:none;stroke:var(--middle);stroke-width:2}
.limit{stroke:var(--limit);stroke-width:1.5;stroke-dasharray:7 4}
.legal{stroke:var(--legal);stroke-width:1.5;stroke-dasharray:2 3}
.mark{fill:var(--paper);stroke:var(--ink);stroke-width:2}
.scroll{overflow-x:auto;margin:.5rem 0}
.scroll:focus-visible,summary:focus-visible{outline:2px solid var(--middle);outline-offset:2px}
table{border-collapse:collapse;font-variant-numeric:tabular-nums;overflow-wrap:normal}
caption{text-align:left;color:var(--soft);padding-bottom:.3rem}
th,td{border:1px solid var(--rule);padding:.15rem .45rem;text-align:right;vertical-align:top}
thead th,tbody th{background:var(--sheet)}
@media screen{td,th{white-space:nowrap}}
.words td,.words th{text-align:left;white-space:normal}
td.good{background:var(--good)}
td.stop{background:var(--stop)}
td.start-cell{outline:3px solid var(--middle);outline-offset:-3px;font-weight:700}
summary{cursor:pointer;padding:.3rem 0}
.care{background:var(--sheet);padding:.25rem 1rem;border-left:.3rem solid var(--limit)}
@media print{:root{color-scheme:light;--ink:#000;--soft:#333;--paper:#fff;--sheet:#f3f5f7;--rule:#888;--band:#cfe0ef;
--middle:#12507f;--limit:#a3211b;--legal:#5a3d8a;--good:#eaf5ec;--stop:#faeceb}
body{max-width:none;padding:0;font-size:10pt}.skip{display:none}.scroll{overflow:visible}
details::details-content{content-visibility:visible;block-size:auto}
thead{display:table-header-group}tr,figure,li{break-inside:avoid}h2{break-after:avoid}table{font-size:8pt}
th,td{padding:.1rem .25rem}@page{size:A4;margin:14mm}}
"""
