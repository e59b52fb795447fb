/* SPDX-License-Identifier: Apache-2.0
 *
 * A plan and what it names, loaded, solved and written back.
 */
#ifndef TW_CLI_PROJECT_H
#define TW_CLI_PROJECT_H

#include "cli.h"

/* ---- project.c ---- */

typedef struct project {
    const char *plan_path;
    tw_str folder; /* of the plan, with its final '/', or empty */
    tw_plan *plan;
    loaded edit;
    const char **inputs; /* every file read */
    size_t input_count, input_cap;
} project;
exit_code load_project(cli *app, const char *plan_path, project *out);

/* Whose rate holds where both say one, that of the options or, where these are about another edit, the plan's; its
 * timeline then holds in any case. */
typedef enum reading_by { GIVEN_FIRST, PLAN_FIRST } reading_by;

/* The same for the text of a plan, which need not be on disk yet, with the edit at a path that is told (NULL: as the
 * plan names it). */
exit_code load_project_text(cli *app, const char *plan_path, tw_str text, const char *edit_path, reading_by by,
                            project *out);

/* Names a file that must not be written over. */
void project_input(cli *app, project *p, const char *path);

/* A path written in the plan, which is meant from the plan's folder. */
const char *project_path(cli *app, const project *p, tw_str path);

/* Solves every shot of the deliveries wanted. */
exit_code solve(cli *app, const project *p, tw_diags *diags, tw_derived **derived);

/* Having nothing to frame is an error. */
exit_code check_solved(cli *app, const project *p, const tw_derived *derived);

/* Both; and with loading the plan that is the first argument, for what shows its framings. */
exit_code solve_project(cli *app, const project *p, tw_derived **derived);
exit_code load_solved(cli *app, project *p, tw_derived **derived);

/* Canonical text of a plan document, with the line ends of the text it was read from, so that a change shows alone. */
tw_str plan_text(cli *app, const tw_json *root, tw_str like);

/* Paths in a plan are meant from its folder: makes those of the plan at `from` right for one at `to` (NULL: as it
 * is). */
void plan_move(cli *app, tw_json *root, const char *from, const char *to);

/* May a plan, or something else, be written there? A plan takes the place of a plan and of nothing else, and nothing
 * else takes that of a plan, which may hold the work of days. */
exit_code may_stand(cli *app, const char *path, bool plan);

/* Writes the plan that was at `from` (its text then: `was`) to -o, which may be where it was. */
exit_code plan_put(cli *app, tw_json *root, tw_str was, const char *from);

/* Does a text say that it is a plan? */
bool is_plan(tw_str bytes);

/* A plan as a document, whose edit is not looked at. */
exit_code load_tree(cli *app, const char *path, tw_str bytes, tw_json_doc *doc);

/* One line, after an empty one: the notes no shot uses; nothing when there are none. */
void unused_notes(const tw_derived *derived, tw_buf *out);

/* ---- agreed.c ---- */

/* Says that nothing was written because agreed framings would change. */
exit_code agreed_refused(void);

/* Shots of a delivery with the notes they use, all of them or those that are agreed on, in the order of shots. */
size_t note_uses(tw_arena *arena, const tw_derived_delivery *d, bool agreed, tw_note_use **out);

/* For the sheet: what people agreed on, by delivery and shot. */
const tw_sheet_agreed *const *agreed_shots(cli *app, const project *p, const tw_derived *derived);
/* Tells agreed framings that come out different, of one note or (NULL) of all; how many, and their notes. */
size_t agreed_broken(cli *app, const project *p, const tw_derived *derived, const tw_note *only, tw_diags *diags,
                     const tw_note ***notes);

#endif
