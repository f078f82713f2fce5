/** The whole look of a report; it must print on white paper and open without a network. */
export const reportStyle = `
:root { color-scheme: light; }
html { font: 15px/1.5 system-ui, sans-serif; } body { color: #1b2733; background: #fff; max-width: 60rem; margin: 2rem auto; padding: 0 1.2rem; }
h1 { font-size: 1.7rem; margin: 0 0 .2rem; } h2 { font-size: 1.15rem; margin: 2.2rem 0 .5rem; border-bottom: 1px solid #c9d1d8; padding-bottom: .2rem; }
.lead { color: #40484f; margin: 0; } .invented { background: #fff3cd; border: 1px solid #d9b84a; padding: .5rem .8rem; border-radius: 4px; margin: 1rem 0; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(11rem, 1fr)); gap: .8rem; margin: 1.2rem 0; padding: 0; }
.facts div { border: 1px solid #c9d1d8; border-radius: 4px; padding: .6rem .8rem; } .facts dt { color: #52606b; font-size: .85rem; } .facts dd { margin: 0; font-size: 1.25rem; font-variant-numeric: tabular-nums; }
@media screen { .scroll { overflow-x: auto; } .scroll table { min-width: 34rem; } } table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; } th, td { text-align: left; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid #e4e8ec; vertical-align: top; } td.n, th.n { text-align: right; } td.n { white-space: nowrap; } .n + :not(.n) { padding-left: .6rem; }
th { font-weight: 600; color: #40484f; font-size: .88rem; } .alarm { color: #a3160d; font-weight: 700; } .warning { color: #8a4b00; font-weight: 700; } .caution { color: #40484f; font-weight: 600; }
.plot { width: 100%; height: auto; display: block; } h3 { font-size: 1rem; margin: 1.2rem 0 .2rem; } .none { color: #52606b; font-style: italic; }
.trends { display: grid; grid-template-columns: repeat(auto-fit, minmax(22rem, 1fr)); gap: 1rem; } figure { margin: 0; } figcaption { font-weight: 600; font-size: .92rem; }
footer { margin: 3rem 0 1rem; color: #52606b; font-size: .88rem; border-top: 1px solid #c9d1d8; padding-top: .6rem; }
@page { size: A4; margin: 14mm; }
@media print { html { font-size: 10px; line-height: 1.4; } body { margin: 0; max-width: none; padding: 0; } h2, h3, p:has(+ .trends) { break-after: avoid; } figure, .facts div, tr { break-inside: avoid; } .facts { grid-template-columns: repeat(5, 1fr); } .trends { grid-template-columns: 1fr 1fr; } thead { display: table-header-group; } footer { margin-top: 1.5rem; } h2 { margin-top: 1.5rem; } }
`;
