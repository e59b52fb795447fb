/* SPDX-License-Identifier: Apache-2.0
 *
 * How the sheet looks and what its buttons do. Filtering is style alone; the script adds holding and stepping through
 * moving shots, remembers ticks and counts, and the page reads and prints without it.
 */
#include "report_internal.h"

/* clang-format off */
static const char *const style[] = {
    /* colours: told apart by lightness too, and never the only sign */
    ":root{color-scheme:light dark;--ink:#1b1a18;--soft:#67625a;--rule:#d9d5cd;--paper:#fdfcfa;--plate:#ebe8e1;",
    "--line:#d6d1c7;--bar:#34312d;--mark:#7a2d00;",
    "--d0:#1f5fa8;--d1:#ad4409;--d2:#13704f;--d3:#7b3d92;--d4:#6a5a00;--d5:#555}",
    "@media screen and (prefers-color-scheme:dark){:root{--ink:#ece9e3;--soft:#a8a298;--rule:#3a3733;--paper:#171614;",
    "--plate:#2b2926;--line:#3b3834;--bar:#000;--mark:#f3b48b;",
    "--d0:#83b5f2;--d1:#f2a676;--d2:#72d3b0;--d3:#d2a5e3;--d4:#dac75f;--d5:#bbb}}",
    /* the page */
    "*{box-sizing:border-box}",
    "body{margin:0;background:var(--paper);color:var(--ink);font:.9375rem/1.5 system-ui,sans-serif}",
    "main{max-width:70rem;margin:0 auto;padding:1.5rem 1.25rem 4rem}",
    "a{color:inherit;text-underline-offset:.2em}",
    ":focus-visible{outline:3px solid var(--d0);outline-offset:2px}",
    "h1{font-size:1.75rem;font-weight:600;line-height:1.2;margin:0;overflow-wrap:anywhere}",
    "h2{font-size:1.0625rem;font-weight:600;margin:2rem 0 .5rem}",
    "p{margin:.25rem 0;max-width:46rem}.soft{color:var(--soft)}",
    "table{border-collapse:collapse;font-variant-numeric:tabular-nums}",
    "th,td{padding:.125rem .625rem .125rem 0;text-align:right;font-weight:400;vertical-align:top}",
    "th:first-child,th[scope=row]{text-align:left}",
    "thead th{color:var(--soft);border-bottom:1px solid var(--rule);vertical-align:bottom}",
    ".wide{overflow-x:auto}.wide th,.wide td{white-space:nowrap;padding-right:1.25rem}",
    ".how{margin:0;padding:0 0 0 1.1rem;max-width:46rem}",
    "ol.first{margin:0;padding:0;list-style:none;max-width:46rem}.first li{padding:.1875rem 0 .1875rem 2.75rem;",
    "text-indent:-2.75rem}",
    ".first a{display:inline-block;min-width:2.25rem;text-indent:0;margin-right:.5rem;font-weight:600}",
    ".jump{display:flex;flex-wrap:wrap;gap:.125rem .75rem;margin:.25rem 0;max-width:46rem}",
    /* filters */
    ".filter{display:none;flex-wrap:wrap;gap:.375rem 2rem;margin:1.75rem 0 0;padding:.625rem 0;position:sticky;top:0;",
    "z-index:2;",
    "background:var(--paper);border-bottom:1px solid var(--rule)}",
    "@supports selector(:has(a)){.filter{display:flex}}",
    "fieldset{display:flex;flex-wrap:wrap;gap:.125rem 1rem;border:0;margin:0;padding:0}",
    "legend{float:left;color:var(--soft);margin:0 1rem 0 0;padding:0}",
    "label{white-space:nowrap}input[type=radio],input[type=checkbox]{accent-color:var(--ink);width:1rem;height:1rem;",
    "vertical-align:-.125rem;margin:0 .25rem 0 0}",
    "#shown{color:var(--soft);margin-left:auto}",
    /* a shot */
    ".shot{border-bottom:1px solid var(--rule);margin:0 -.375rem;padding:1.25rem .375rem 1.125rem;",
    "scroll-margin-top:4rem;",
    "content-visibility:auto;contain-intrinsic-size:auto 30rem}",
    ".shot:target{box-shadow:-.5rem 0 0 var(--paper),-.75rem 0 0 var(--ink)}",
    ".shot header{display:flex;flex-wrap:wrap;gap:.25rem 2rem;align-items:baseline;margin-bottom:.625rem}",
    "h3{font-size:1.1875rem;font-weight:600;line-height:1.3;margin:0;overflow-wrap:anywhere}h3 a{",
    "text-decoration:none;display:inline-block;min-width:2rem;color:var(--soft);font-weight:400}h3 a:hover{",
    "text-decoration:underline}",
    "h3 small{font-size:.9375rem;font-weight:400}",
    "dl{display:flex;flex-wrap:wrap;gap:0 1.5rem;margin:0;font-variant-numeric:tabular-nums}",
    "dl div{display:flex;gap:.375rem}dt{color:var(--soft)}dd{margin:0}",
    ".strip{display:flex;gap:.875rem;align-items:flex-start}",
    "figure{flex:var(--r) 1 0;min-width:0;max-width:calc(var(--r)*14.5rem);margin:0}",
    "figcaption{margin-top:.3125rem;line-height:1.35;font-size:.8125rem}",
    "figcaption b{color:var(--c)}figcaption b,figcaption span,figcaption label{display:block;white-space:normal}",
    ".whole figcaption{color:var(--soft)}.look{font-weight:600}",
    ".why{list-style:none;margin:.5rem 0 0;padding:0;max-width:52rem}.why b{color:var(--c);font-weight:600}",
    "blockquote{margin:.375rem 0 0;padding-left:.75rem;border-left:3px solid var(--rule);max-width:46rem}",
    "cite{color:var(--soft);font-style:normal}",
    ".numbers{overflow-x:auto;margin-top:.5rem;font-size:.8125rem;line-height:1.4}.numbers td,.numbers th{",
    "white-space:nowrap}",
    ".numbers tbody th{color:var(--c);font-weight:600}",
    ".play{display:flex;gap:.75rem;align-items:center;margin-top:.5rem}.play input{flex:0 1 20rem;",
    "accent-color:var(--ink)}",
    "button{font:inherit;color:inherit;background:none;border:1px solid var(--soft);border-radius:.25rem;",
    "padding:.125rem .625rem;min-width:4.5rem}",
    "output{font-variant-numeric:tabular-nums;color:var(--soft)}",
    /* pictures; vector-effect and paint-order are of SVG 2, which checkers of CSS may not know: where a browser does
     * not either, lines grow with the picture and names have no rim */
    "svg{display:block;width:100%;height:auto;overflow:visible}svg svg{overflow:hidden}",
    ".defs{position:absolute;width:0;height:0}",
    "rect,path,polyline,circle{vector-effect:non-scaling-stroke}",
    ".plate{fill:url(#tenths);stroke:none}.ground{fill:var(--plate)}.tenth{fill:none;stroke:var(--line);",
    "stroke-width:1}",
    ".must rect,.nice rect{fill:none;stroke:var(--ink)}.must rect{stroke-width:3.5}.nice rect{stroke-width:1.5;",
    "stroke-dasharray:5 4}",
    "text{fill:var(--ink);stroke:var(--plate);stroke-width:.2em;paint-order:stroke;stroke-linejoin:round}",
    ".must text{font-weight:600}.nice text{font-style:italic}",
    ".d text{fill:var(--c);font-weight:600}.d circle{fill:var(--c)}",
    ".win{fill:none;stroke:var(--c);stroke-width:2.25}.then{stroke-width:1.25;stroke-dasharray:2 3}",
    ".now{fill:var(--c);fill-opacity:.14;stroke:var(--c);stroke-width:1.25}.way{fill:none;stroke:var(--c);",
    "stroke-width:1.5}",
    ".shown{background:var(--bar);outline:2px solid var(--c);overflow:hidden}.none{background:none;",
    "outline-style:dashed}",
    ".safe,.clear{fill:none;stroke:var(--soft);stroke-width:1}.safe{stroke-dasharray:1 3}.clear{stroke-dasharray:8 4}",
    /* over a photo everything has a rim; lengths are shares of the letters, since pixels would be the source's */
    ".photo .must rect,.photo .nice rect,.photo .safe,.photo .clear{stroke:#fff;",
    "filter:drop-shadow(0 0 .06em #000) drop-shadow(0 0 .06em #000)}",
    ".photo .win,.photo .way{filter:drop-shadow(0 0 .05em var(--paper)) drop-shadow(0 0 .05em var(--paper))}",
    /* small screens */
    "@media (max-width:44rem){main{padding:1rem .875rem 3rem}.strip{flex-wrap:wrap}.filter{position:static}",
    ".whole{flex-basis:100%;max-width:none}.shot header{gap:0}figure.d{flex:none;max-width:100%;min-width:6.5rem}",
    "figure.d>svg{width:calc(var(--r)*7rem);max-width:100%}}",
    /* paper: nothing is cut in two */
    "@page{margin:11mm}",
    "@media print{:root{--paper:#fff}body{font-size:8.5pt;line-height:1.4}main{max-width:none;padding:0}",
    ".filter,.play{display:none!important}h1{font-size:17pt}h2{margin:4mm 0 1mm;font-size:10pt}",
    ".shot{content-visibility:visible;break-inside:avoid;margin:0;padding:2.5mm .5mm}.long{break-inside:auto}",
    ".shot header{margin-bottom:1.5mm;gap:0 5mm}h3{font-size:11pt}dl{gap:0 4mm}.why,.numbers,blockquote{",
    "margin-top:1mm}",
    ".strip,tr,li,blockquote,.shot header{break-inside:avoid}h2,.shot header{break-after:avoid}",
    ".strip{gap:2.5mm}figure{max-width:calc(var(--r)*2.8cm)}figure.d{min-width:2.7cm}figure.d>svg{",
    "max-width:calc(var(--r)*2.8cm)}figcaption,.numbers{font-size:7.5pt;line-height:1.3}",
    ".numbers,.wide{overflow:visible}.numbers td,.numbers th{padding:.15mm 1.6mm .15mm 0}thead{",
    "display:table-header-group}",
    "input[type=checkbox]{width:2.6mm;height:2.6mm}",
    ".plate,.ground,.shown{print-color-adjust:exact;-webkit-print-color-adjust:exact}}",
};

static const char *const script[] = {
    "(function(){",
    "'use strict';",
    "var shots=[].slice.call(document.querySelectorAll('.shot')),shown=document.getElementById('shown'),near=[];",
    "function all(node,what){return [].slice.call(node.querySelectorAll(what));}",
    /* how many are left by the filters; asked of the classes, for computed styles of 2,000 shots take minutes */
    "function count(){",
    " function chosen(name){return document.querySelector('[name='+name+']:checked').id;}",
    " var of=chosen('f').slice(1),kind=chosen('k').slice(2);",
    " var kept=kind==='all'?'':of===''?'.'+kind:'.'+kind.charAt(0)+of;",
    " var n=document.querySelectorAll('.shot'+kept+',.shot:target').length;",
    " if(shown)shown.textContent=n+' of '+shots.length+' shots';",
    "}",
    /* ticks stay in this browser, by the names of their boxes */
    "var key='tallwide '+document.title,ticks={};",
    "try{ticks=JSON.parse(localStorage.getItem(key))||{};}catch(e){}",
    "document.addEventListener('change',function(e){",
    " var box=e.target;if(box.type==='radio')count();if(box.type!=='checkbox')return;",
    " if(box.checked)ticks[box.name]=1;else delete ticks[box.name];",
    " try{localStorage.setItem(key,JSON.stringify(ticks));}catch(e){}",
    "});",
    "all(document,'input[type=checkbox]').forEach(function(b){if(ticks[b.name])b.checked=true;});",
    /* moving shots: each svg has a clock of its own, also one in another, so all of a shot are set together */
    "function drawings(node){return all(node,'.strip svg');}",
    "function seek(shot,t){drawings(shot).forEach(function(d){d.setCurrentTime(t);});}",
    "function run(node,on){",
    " drawings(node).forEach(function(d){if(on)d.unpauseAnimations();else d.pauseAnimations();});",
    "}",
    "function clock(shot){",
    " var n=shot.getAttribute('data-frames').split(' ');return{first:+n[0],frames:+n[1],fps:+n[2]};",
    "}",
    "function rewind(shot){var c=clock(shot);seek(shot,(-c.first+.001)/c.fps);}",
    "function element(name,inside){var e=document.createElement(name);inside.appendChild(e);return e;}",
    "function controls(shot){",
    " if(shot.tell)return;",
    " var c=clock(shot),box=document.createElement('div');box.className='play';",
    " shot.insertBefore(box,shot.querySelector('.strip').nextSibling);",
    " var button=element('button',box),range=element('input',box),out=element('output',box);",
    " button.type='button';range.type='range';range.min=c.first;range.max=c.first+c.frames-1;range.step=1;",
    " range.setAttribute('aria-label','frame of shot '+shot.id.slice(1));",
    " function at(){var t=drawings(shot)[0].getCurrentTime()*c.fps;return c.first+Math.floor(t%c.frames+1e-6);}",
    " shot.tell=function(){if(shot.playing)range.value=at();out.textContent='frame '+range.value;};",
    " function set(on){shot.playing=on;button.textContent=on?'Hold':'Play';run(shot,on);shot.tell();}",
    " button.addEventListener('click',function(){set(!shot.playing);});",
    " range.addEventListener('input',function(){set(false);seek(shot,(range.value-c.first+.001)/c.fps);});",
    " rewind(shot);range.value=0;set(!matchMedia('(prefers-reduced-motion:reduce)').matches);",
    "}",
    /* only what is near the screen runs: a browser has no time for 2,000 at once */
    "function come(shot){if(near.indexOf(shot)<0)near.push(shot);controls(shot);run(shot,shot.playing);}",
    "function leave(shot){near=near.filter(function(s){return s!==shot;});run(shot,false);}",
    "var moving=shots.filter(function(s){return s.hasAttribute('data-frames');});",
    "run(document,false);",
    /* asking style itself what it skips costs nothing; watching each shot costs a fifth of the time there is */
    "if('oncontentvisibilityautostatechange' in document)",
    " document.addEventListener('contentvisibilityautostatechange',function(e){",
    "  if(moving.indexOf(e.target)>=0)(e.skipped?leave:come)(e.target);},true);",
    "else if('IntersectionObserver' in window){",
    " var watch=new IntersectionObserver(function(list){list.forEach(function(i){",
    "  (i.isIntersecting?come:leave)(i.target);});},{rootMargin:'200px'});",
    " moving.forEach(function(s){watch.observe(s);});",
    "}else moving.forEach(come);",
    "setInterval(function(){near.forEach(function(s){if(s.playing)s.tell();});},125);",
    /* paper shows the first frame */
    "addEventListener('beforeprint',function(){moving.forEach(function(s){run(s,false);rewind(s);});});",
    "addEventListener('afterprint',function(){near.forEach(function(s){run(s,s.playing);});});",
    "count();",
    "}());",
};
/* clang-format on */

static void write_lines(tw_xml *x, const char *const *lines, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        tw_xml_textz(x, "\n");
        tw_xml_textz(x, lines[i]);
    }
    tw_xml_textz(x, "\n");
}

/* ---- filters --------------------------------------------------------------------------------------------- */

/* What is asked for: value of the radio button, its words, the class of shots that are kept, and that class's letter
 * when it is about one delivery. */
static const struct {
    const char *id, *words, *class;
    char letter;
} kinds[] = {
    {"all", "all", NULL, 0},
    {"eyes", "needs eyes", "eyes", 'e'},
    {"moving", "moving", "moving", 'm'},
    {"open", "not framed yet", "open", 'o'},
};

/* What is asked of :has must not hold the shots: a browser asks again after every change within. */
#define FILTER ".filter:has(#k-%s:checked):has("

static void filter_rules(const twi_sheet *s)
{
    size_t deliveries = s->derived->delivery_count;
    for (size_t d = 0; d < deliveries; d++)
        tw_xml_textf(s->x, ".d%zu{--c:var(--d%zu)}\n.filter:has(#f%zu:checked)+.shots .d:not(.d%zu){display:none}\n", d,
                     d % 6, d, d);
    for (size_t k = 1; k < TW_COUNT(kinds); k++) {
        const char *off = ":not(:target){display:none}\n";
        tw_xml_textf(s->x, FILTER "#f:checked)+.shots .shot:not(.%s)%s", kinds[k].id, kinds[k].class, off);
        for (size_t d = 0; d < deliveries; d++)
            tw_xml_textf(s->x, FILTER "#f%zu:checked)+.shots .shot:not(.%c%zu)%s", kinds[k].id, d, kinds[k].letter, d,
                         off);
    }
}

void twi_sheet_style(const twi_sheet *s)
{
    tw_xml_open(s->x, "style");
    write_lines(s->x, style, TW_COUNT(style));
    filter_rules(s);
    tw_xml_close(s->x);
}

void twi_sheet_script(const twi_sheet *s)
{
    tw_xml_open(s->x, "script");
    write_lines(s->x, script, TW_COUNT(script));
    tw_xml_close(s->x);
}

static void radio(tw_xml *x, const char *group, const char *id, tw_str words, bool checked)
{
    tw_xml_open(x, "label");
    tw_xml_inline(x);
    tw_xml_open_with(x, "input", "type", "radio");
    tw_xml_attrz(x, "name", group);
    tw_xml_attrz(x, "id", id);
    if (checked)
        tw_xml_attrz(x, "checked", "checked");
    tw_xml_close(x);
    tw_xml_text(x, words);
    tw_xml_close(x);
}

void twi_sheet_filter(const twi_sheet *s)
{
    tw_xml *x = s->x;
    tw_xml_open(x, "div"); /* no form: Enter would send it */
    tw_xml_attrz(x, "class", "filter");
    tw_xml_open(x, "fieldset");
    tw_xml_leaf(x, "legend", TW_STR("shape"));
    radio(x, "f", "f", TW_STR("all"), true);
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        radio(x, "f", tw_arena_printf(s->arena, "f%zu", d).at, s->derived->deliveries[d].delivery->name, false);
    tw_xml_close(x);
    tw_xml_open(x, "fieldset");
    tw_xml_leaf(x, "legend", TW_STR("shots"));
    for (size_t k = 0; k < TW_COUNT(kinds); k++)
        radio(x, "k", tw_arena_printf(s->arena, "k-%s", kinds[k].id).at, tw_str_z(kinds[k].words), k == 0);
    tw_xml_close(x);
    tw_xml_open_with(x, "output", "id", "shown");
    tw_xml_close_to(x, x->depth - 2);
}
