/* SPDX-License-Identifier: Apache-2.0
 *
 * Tables of boxes in the form of MOTChallenge: frame,id,left,top,width,height,conf,... one box a line.
 */
#include "plan_table.h"

#define COLUMNS 6 /* those that are read */

typedef struct reader {
    tw_arena *arena;
    twi_table table;
    tw_size size;
    int64_t first_frame;
    tw_region *region;
    size_t cap, clipped;
    uint32_t *lines; /* where each key was read */
    size_t line_cap;
} reader;

/* ---- boxes ----------------------------------------------------------------------------------------------- */

static void add_key(reader *r, const tw_region_key *key)
{
    tw_region *region = r->region;
    size_t len = region->key_count;
    region->keys = tw_arena_grow(r->arena, region->keys, len, &r->cap, sizeof *region->keys);
    r->lines = tw_arena_grow(r->arena, r->lines, len, &r->line_cap, sizeof *r->lines);
    r->lines[len] = r->table.number;
    region->keys[region->key_count++] = *key;
}

static void read_box(reader *r, int64_t frame, const tw_str column[COLUMNS])
{
    double box[4];
    for (size_t i = 0; i < 4; i++) {
        if (!tw_num_double(column[i + 2], &box[i])) {
            twi_table_tell(&r->table, 1541, column[i + 2], "left, top, width and height must be numbers");
            return;
        }
    }
    if (!(box[2] > 0) || !(box[3] > 0)) {
        twi_table_tell(&r->table, 1543, column[4], "a box needs a width and a height above 0");
        return;
    }
    tw_region_key key = {r->first_frame + frame - 1, box[0] / r->size.w, box[1] / r->size.h, box[2] / r->size.w,
                         box[3] / r->size.h};
    bool clipped;
    if (!twi_plan_clip(&key, &clipped)) {
        twi_table_tell(&r->table, 1543, column[2],
                       "this box lies outside the picture: does the table belong to this source size?");
        return;
    }
    if (clipped && r->clipped++ == 0)
        twi_table_tell(&r->table, 1544, column[2],
                       "this box sticks out of the picture; here and below, the part inside was used");
    add_key(r, &key);
}

/* A first line without a number in front is taken for a header. */
static void read_line(reader *r)
{
    tw_str column[COLUMNS];
    size_t count = twi_table_columns(&r->table, column, COLUMNS);
    int64_t frame, id;
    if (tw_str_trim(r->table.line).len == 0)
        return;
    if (!twi_table_whole(column[0], &frame) && r->table.number == 1) {
        twi_table_tell(&r->table, 1540, r->table.line, "the first line was taken for a header and skipped");
        return;
    }
    if (count < COLUMNS) {
        twi_table_tell(&r->table, 1541, r->table.line,
                       "a line needs at least six values: frame,id,left,top,width,height");
        return;
    }
    if (!twi_table_whole(column[0], &frame) || frame < 1 || frame > TWI_LAST_FRAME) {
        twi_table_tell(&r->table, 1541, column[0], "the frame must be a whole number from 1");
        return;
    }
    if (!twi_table_whole(column[1], &id)) {
        twi_table_tell(&r->table, 1541, column[1], "the id must be a whole number");
        return;
    }
    if (!r->region->has_track_id || id == r->region->track_id)
        read_box(r, frame, column);
}

/* ---- order ----------------------------------------------------------------------------------------------- */

typedef struct numbered {
    tw_region_key key;
    uint32_t line;
} numbered;

static int by_frame(const void *a, const void *b)
{
    const numbered *x = a, *y = b;
    return tw_then(TW_CMP(x->key.frame, y->key.frame), TW_CMP(x->line, y->line));
}

static void tell_second(reader *r, const numbered *second)
{
    r->table.number = second->line;
    r->table.line = (tw_str){NULL, 0};
    twi_table_tell(&r->table, 1545, r->table.line,
                   r->region->has_track_id ? "this id has a second box for the same frame: remove one"
                                           : "a second box for the same frame: say with \"track_id\" whose "
                                             "boxes are meant");
}

/* Tables may be ordered by id or by frame; keys stand by frame. */
static void put_in_order(reader *r)
{
    tw_region *region = r->region;
    size_t n = region->key_count, kept = 0;
    numbered *all = TW_NEW_N(r->arena, numbered, n);
    for (size_t i = 0; i < n; i++)
        all[i] = (numbered){region->keys[i], r->lines[i]};
    TW_SORT(all, n, by_frame);
    for (size_t i = 0; i < n; i++) {
        if (i > 0 && all[i].key.frame == all[i - 1].key.frame)
            tell_second(r, &all[i]);
        else
            region->keys[kept++] = all[i].key;
    }
    region->key_count = kept;
}

/* ---- keys by hand ---------------------------------------------------------------------------------------- */

static tw_region_key minus(const tw_region_key *a, const tw_region_key *b)
{
    return (tw_region_key){b->frame, a->left - b->left, a->top - b->top, a->width - b->width, a->height - b->height};
}

tw_region_key tw_region_between(const tw_region_key *a, const tw_region_key *b, double share)
{
    return (tw_region_key){a->frame, a->left + (b->left - a->left) * share, a->top + (b->top - a->top) * share,
                           a->width + (b->width - a->width) * share, a->height + (b->height - a->height) * share};
}

/* Lists of keys in order of time are walked along: *passed counts those that lie at or before the frame. */
static void pass(const tw_region_key *keys, size_t count, int64_t frame, size_t *passed)
{
    while (*passed < count && keys[*passed].frame <= frame)
        ++*passed;
}

static tw_region_key between(const tw_region_key *keys, size_t passed, int64_t frame)
{
    const tw_region_key *a = &keys[passed - 1], *b = &keys[passed];
    return tw_region_between(a, b, (double)(frame - a->frame) / (double)(b->frame - a->frame));
}

/* The table's box at a frame, which may lie between two of its own or past its ends. */
static tw_region_key table_at(const tw_region *table, int64_t frame, size_t *passed)
{
    size_t n = table->key_count;
    pass(table->keys, n, frame, passed);
    if (*passed == 0 || *passed == n)
        return table->keys[*passed == 0 ? 0 : n - 1];
    return between(table->keys, *passed, frame);
}

/* What is added at a frame: `off` holds what each hand key differs from the table. */
static tw_region_key correction(const tw_region_key *off, size_t count, int64_t frame, size_t *passed)
{
    static const tw_region_key none = {0, 0, 0, 0, 0};
    pass(off, count, frame, passed);
    if (*passed > 0 && *passed < count)
        return between(off, *passed, frame);
    const tw_region_key *edge = &off[*passed > 0 ? *passed - 1 : 0];
    double far = (double)(frame > edge->frame ? frame - edge->frame : edge->frame - frame);
    return tw_region_between(edge, &none, far < TW_PLAN_EASE_OFF ? far / TW_PLAN_EASE_OFF : 1);
}

static void put_through(const tw_region_key *c, tw_region_key *box)
{
    tw_region_key moved = *box;
    bool clipped;
    moved.left += c->left;
    moved.top += c->top;
    moved.width += c->width;
    moved.height += c->height;
    if (moved.width > 0 && moved.height > 0 && twi_plan_clip(&moved, &clipped))
        *box = moved;
}

/* Both lists are in order of time; where both have a frame the hand key is kept. */
static void add_hand_keys(tw_arena *arena, tw_region *table, const tw_region *hand)
{
    size_t n = table->key_count, h = hand->hand_count, i = 0, j = 0, kept = 0;
    size_t boxes_passed = 0, off_passed = 0;
    if (h == 0)
        return;
    tw_region_key *off = TW_NEW_N(arena, tw_region_key, h), *all = TW_NEW_N(arena, tw_region_key, n + h);
    for (size_t k = 0; k < h; k++) {
        tw_region_key there = n > 0 ? table_at(table, hand->hand[k].frame, &boxes_passed) : hand->hand[k];
        off[k] = minus(&hand->hand[k], &there);
        off[k].frame = hand->hand[k].frame;
    }
    while (i < n || j < h) {
        bool by_hand = j < h && (i == n || hand->hand[j].frame <= table->keys[i].frame);
        if (by_hand && i < n && table->keys[i].frame == hand->hand[j].frame)
            i++;
        if (!by_hand) {
            tw_region_key c = correction(off, h, table->keys[i].frame, &off_passed);
            put_through(&c, &table->keys[i]);
        }
        all[kept++] = by_hand ? hand->hand[j++] : table->keys[i++];
    }
    table->keys = all;
    table->key_count = kept;
}

tw_status tw_plan_track(tw_arena *arena, tw_str bytes, tw_str file, tw_size size, int64_t first_frame,
                        tw_region *region, tw_diags *diags)
{
    tw_region filled = *region;
    filled.keys = NULL;
    filled.key_count = 0;
    reader r = {.arena = arena, .size = size, .first_frame = first_frame, .region = &filled};
    twi_table_start(&r.table, bytes, file, diags);
    if (bytes.len > TW_FILE_LIMIT) {
        twi_table_tell(&r.table, 1546, r.table.line, "a table of more than 1 GiB is not read");
        return TW_ERR_LIMIT;
    }
    while (twi_table_next(&r.table))
        read_line(&r);
    put_in_order(&r);
    if (r.table.errors == 0)
        add_hand_keys(arena, &filled, region);
    if (filled.key_count == 0 && r.table.errors == 0) {
        r.table.number = 0;
        r.table.line = (tw_str){NULL, 0};
        twi_table_tell(&r.table, 1542, r.table.line,
                       "the table holds no box for this region: it is as if the region were not there");
    }
    if (r.table.errors > 0)
        return TW_ERR_SEMANTIC;
    *region = filled;
    return TW_OK;
}
