/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* List to list: the master's bytes with our remarks added. A line end is held back until something follows it, so that
 * a list without a final line end keeps its own last byte (the rule stands in tallwide/edl.h). */

typedef struct insertion {
    uint32_t line; /* after this one; 0: at the top */
    uint32_t order;
    tw_str block; /* lines with their ends */
} insertion;

typedef struct insertions {
    insertion *at;
    size_t len, cap;
} insertions;

static int by_line(const void *a, const void *b)
{
    const insertion *x = a, *y = b;
    return tw_then(TW_CMP(x->line, y->line), TW_CMP(x->order, y->order));
}

static void add(tw_arena *arena, insertions *v, uint32_t line, uint32_t order, tw_buf *block)
{
    TW_PUSH(arena, v->at, v->len, v->cap) = (insertion){line, order, tw_buf_str(block)};
}

static void add_framings(tw_arena *arena, const tw_timeline *timeline, tw_str end, insertions *v)
{
    for (size_t t = 0; t < timeline->track_count; t++) {
        for (size_t i = 0; i < timeline->tracks[t].item_count; i++) {
            const tw_item *item = &timeline->tracks[t].items[i];
            const twi_anchor *anchor = item->origin;
            if (item->framing == NULL || anchor == NULL)
                continue;
            tw_buf block = {.arena = arena};
            twi_edl_write_framing(item->framing, anchor->from, end, &block);
            add(arena, v, anchor->line, anchor->from ? 2 : 1, &block);
        }
    }
}

/* After the header; a list without one has it at the very top, where only a byte order mark could stand in its way. */
static uint32_t stamp_line(const twi_edl_doc *doc, bool marked)
{
    if (doc->header_line > 0)
        return doc->header_line;
    if (!marked)
        return 0;
    return doc->first_event_line > 1 ? 1 : doc->first_anchor;
}

typedef struct copying {
    tw_buf *out;
    tw_str end;     /* a line end of this list */
    tw_str pending; /* held back */
} copying;

static void put_line(copying *c, tw_str text, tw_str end)
{
    tw_buf_add(c->out, c->pending);
    tw_buf_add(c->out, text);
    c->pending = end;
}

static void put_block(copying *c, tw_str block, bool after_text)
{
    if (after_text && c->pending.len == 0)
        c->pending = c->end;
    put_line(c, tw_str_cut(block, block.len - c->end.len), c->end);
}

/* A CR alone is an end like the others, but not one to repeat where an LF might follow it. */
static tw_str first_end(tw_str bytes)
{
    twi_scan scan;
    tw_str raw;
    size_t end_len;
    twi_edl_scan(&scan, NULL, bytes);
    bool any = twi_edl_next_raw(&scan, &raw, &end_len) && end_len > 0;
    if (!any || (scan.bytes.at[scan.at - 1] == '\r' && scan.lf < bytes.len))
        return TW_STR("\n");
    return (tw_str){raw.at + raw.len, end_len};
}

static void copy_lines(tw_str bytes, const insertions *v, copying *c)
{
    twi_scan scan;
    tw_str raw;
    size_t end_len = 1, next = 0;
    twi_edl_scan(&scan, NULL, bytes);
    tw_buf_add(c->out, tw_str_cut(bytes, scan.at)); /* the byte order mark */
    for (; next < v->len && v->at[next].line == 0; next++)
        put_block(c, v->at[next].block, false);
    while (twi_edl_next_raw(&scan, &raw, &end_len)) {
        tw_str line = twi_edl_unpaged(raw);
        bool ours = twi_edl_is_ours(line) && !twi_edl_is_rate(line),
             before = end_len == 0 && !twi_edl_is_numbered(tw_str_trim(line));
        if (!ours && !before)
            put_line(c, raw, (tw_str){raw.at + raw.len, end_len});
        for (; next < v->len && v->at[next].line <= scan.line; next++)
            put_block(c, v->at[next].block, !before || c->out->len > 0);
        if (!ours && before)
            put_line(c, raw, (tw_str){NULL, 0});
    }
    if (end_len > 0)
        tw_buf_add(c->out, c->pending);
}

tw_status twi_edl_keep(tw_arena *arena, const tw_timeline *timeline, tw_buf *out)
{
    const twi_edl_doc *doc = timeline->origin;
    copying c = {.out = out, .end = first_end(doc->bytes)};
    insertions v = {.len = 0};
    if (timeline->stamp != NULL) {
        tw_buf block = {.arena = arena};
        twi_edl_write_stamp(timeline->stamp, c.end, &block);
        add(arena, &v, stamp_line(doc, tw_str_starts(doc->bytes, TW_STR("\xEF\xBB\xBF"))), 0, &block);
    }
    add_framings(arena, timeline, c.end, &v);
    TW_SORT(v.at, v.len, by_line);
    copy_lines(doc->bytes, &v, &c);
    return TW_OK;
}
