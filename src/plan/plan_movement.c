/* SPDX-License-Identifier: Apache-2.0
 *
 * Tables of the camera's own movement: frame,dx,dy,... one frame a line, against the frame before.
 */
#include "plan_table.h"

#define COLUMNS 3 /* those that are read */

typedef struct reader {
    tw_arena *arena;
    twi_table table;
    int64_t first, last; /* frames of the first line and of the one before */
    tw_movement *at;
    size_t len, cap;
} reader;

/* Where the picture lies after another step. */
static void add_step(reader *r, int64_t frame, double dx, double dy)
{
    tw_movement was = r->len > 0 ? r->at[r->len - 1] : (tw_movement){0, 0};
    if (r->len == 0)
        r->first = frame;
    TW_PUSH(r->arena, r->at, r->len, r->cap) = (tw_movement){was.x + dx, was.y + dy};
}

static void read_line(reader *r)
{
    tw_str column[COLUMNS];
    size_t count = twi_table_columns(&r->table, column, COLUMNS);
    int64_t frame;
    double dx, dy;
    if (tw_str_trim(r->table.line).len == 0)
        return;
    bool numbered = twi_table_whole(column[0], &frame);
    int64_t before = r->last; /* 0: not known */
    r->last = numbered ? frame : 0;
    if (!numbered && r->table.number == 1)
        return; /* a header: ours have one */
    if (count < COLUMNS) {
        twi_table_tell(&r->table, 1547, r->table.line, "a line needs at least three values: frame,dx,dy");
    } else if (!numbered || frame < 1 || frame > TWI_LAST_FRAME) {
        twi_table_tell(&r->table, 1547, column[0], "the frame must be a whole number from 1");
    } else if (before > 0 && frame != before + 1) {
        twi_table_tell(&r->table, 1547, column[0], "frames must follow each other, one line for each");
    } else if (!tw_num_double(column[1], &dx) || !tw_num_double(column[2], &dy)) {
        twi_table_tell(&r->table, 1547, column[1], "dx and dy must be numbers");
    } else {
        add_step(r, frame, dx, dy);
    }
}

tw_status tw_plan_movement(tw_arena *arena, tw_str bytes, tw_str file, tw_note *note, tw_diags *diags)
{
    reader r = {.arena = arena};
    twi_table_start(&r.table, bytes, file, diags);
    if (bytes.len > TW_FILE_LIMIT) {
        twi_table_tell(&r.table, 1546, r.table.line, "a table of more than 1 GiB is not read");
        return TW_ERR_LIMIT;
    }
    while (twi_table_next(&r.table))
        read_line(&r);
    if (r.table.errors > 0)
        return TW_ERR_SEMANTIC;
    note->moved = r.at;
    note->moved_first = r.len > 0 ? r.first - 1 : 0;
    note->moved_count = r.len;
    return TW_OK;
}
