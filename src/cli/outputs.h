/* SPDX-License-Identifier: Apache-2.0
 *
 * The files of deliveries, written and proved.
 */
#ifndef TW_CLI_OUTPUTS_H
#define TW_CLI_OUTPUTS_H

#include "project.h"

/* ---- prove.c ---- */

typedef struct output {
    const char *path;
    tw_str name; /* display name */
    tw_str text;
    const tw_format *format; /* NULL: not a timeline */
    size_t part, delivery;
    const char *page; /* what it is for people, by page_ending, when it says what a timeline says; else NULL */
    bool staged;      /* on disk as a temporary when the set is saved; the text is gone */
} output;

typedef struct outputs {
    tw_arena *arena; /* of their texts */
    output *at;
    size_t len, cap;
} outputs;
void outputs_add(cli *app, outputs *files, output file);

/* The formats of a delivery: named in the plan, else the master's own and OTIO. */
size_t output_formats(const project *p, const tw_delivery *d, const tw_format *out[TW_PLAN_FORMATS + 2]);

/* FOLDER/STEM.DELIVERY[.Vn].ENDING */
const char *output_path(cli *app, tw_str folder, const project *p, const tw_delivery *d, size_t part,
                        const char *ending);

typedef struct proved {
    tw_proof proof;
    tw_diags *findings;
} proved;

#define RECORD "proof.json" /* ending of the record that stands beside a delivery: tallwide/proof.h */

/* Reads the files of one delivery back and proves them. */
exit_code prove_delivery(cli *app, const project *p, size_t delivery, const outputs *files, proved *out);

/* ---- prove_pages.c ---- */

/* Endings of the files for people that say what a timeline says; NULL past the last. */
const char *page_ending(size_t index);
void page_write(const char *ending, const tw_derived *derived, size_t delivery, tw_buf *out);

/* Holds those of a delivery against what the proof was told by its timelines. A file that cannot be read fails. */
tw_status prove_pages(tw_arena *scratch, const project *p, size_t delivery, const outputs *files, proved *out);

/* ---- changed.c ---- */

/* Tells which timelines of a delivery were changed since the record on disk was made, if writing them anew would lose
 * what was done to them. True when there are such. */
bool changed_by_hand(cli *app, const project *p, const tw_derived *derived, size_t index, const outputs *files,
                     const char *record);

/* ---- make.c ---- */

#define SHEET_NAME "sheet.xhtml" /* ending of the page's name */

/* Solves unless *derived is given, writes, proves, and puts everything in `files` on disk; into --output or the plan's
 * folder. No file is left in `files` where something must be spared. */
exit_code fork_project(cli *app, const project *p, tw_derived **derived, outputs *files, proved **proofs);

#endif
