/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/html_style.h -- how a page looks, on a screen and on paper. */
#ifndef FCI_PAGE_HTML_STYLE_H
#define FCI_PAGE_HTML_STYLE_H

static const char fci_html_style[] =
    ":root{color-scheme:light}"
    "*{box-sizing:border-box}"
    "body{margin:0;background:#fff;color:#1a1a1a;font:16px/1.45 system-ui,"
    "sans-serif;overflow-wrap:anywhere}"
    "main{max-width:60rem;margin:0 auto;padding:1.5rem 1rem}"
    "h1{font-size:1.5rem;line-height:1.2;margin:0 0 .75rem}"
    "h2{font-size:1.1rem;margin:1.75rem 0 .5rem;padding-bottom:.2rem;"
    "border-bottom:1px solid #999}"
    "p{margin:.4rem 0}"
    ".verdict{border-left:.4rem solid #555;padding:.4rem .8rem;"
    "background:#f4f4f4}"
    ".verdict.good{border-color:#1b6ca8}.verdict.bad{border-color:#b3400c}"
    ".verdict.unsure{border-color:#8a6d00;border-left-style:double}"
    ".bad{font-weight:600}.unsure{font-style:italic}"
    "table{border-collapse:collapse;font-variant-numeric:tabular-nums;"
    "margin:.5rem 0}"
    "th{text-align:left;font-weight:600;vertical-align:bottom;"
    "border-bottom:1px solid #555}"
    "th,td{padding:.2rem .7rem .2rem 0;vertical-align:top}"
    "td{unicode-bidi:isolate}"
    "tr+tr td{border-top:1px solid #e3e3e3}"
    "tr.sum td{border-top:1px solid #555}"
    ".r{text-align:right}.unit{font-weight:400;color:#555}"
    "dl{display:grid;grid-template-columns:max-content 1fr;gap:.15rem 1rem;"
    "margin:.5rem 0}dt{color:#555}dd{margin:0}"
    "pre{background:#f4f4f4;padding:.6rem;overflow-x:auto}"
    ".wide{overflow-x:auto;margin:.5rem 0}"
    ".fill{display:flex;gap:.6rem;align-items:flex-end;margin:1.2rem 0}"
    ".fill i{flex:1;border-bottom:1px solid #555}"
    "@page{margin:16mm 14mm;@bottom-right{content:\"Page \" counter(page) "
    "\" of \" counter(pages);font:9pt system-ui,sans-serif}}"
    "@media print{body{font-size:10pt}main{max-width:none;padding:0}"
    "h2{break-after:avoid}tr,figure,.fill,.verdict{break-inside:avoid}"
    "thead{display:table-header-group}.wide{overflow:visible}}";

#endif
