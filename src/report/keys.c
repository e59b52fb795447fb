/* SPDX-License-Identifier: Apache-2.0
 *
 * The keys of a delivery as comma-separated values (RFC 4180).
 */
#include "report_internal.h"

#include <string.h>

/* What a row is made of. */
typedef struct row {
    const tw_timeline *master;
    const tw_decision *shot;
    tw_str event;
} row;

/* Quoted where RFC 4180 wants it, and where blanks at the ends might get lost. */
static void add_field(tw_str s, tw_buf *out)
{
    bool quote = s.len > 0 && (s.at[0] == ' ' || s.at[s.len - 1] == ' ');
    for (size_t i = 0; i < s.len && !quote; i++)
        quote = strchr(",\"\r\n", s.at[i]) != NULL;
    if (quote)
        tw_buf_addc(out, '"');
    for (size_t i = 0; i < s.len; i++) {
        if (quote && s.at[i] == '"')
            tw_buf_addc(out, '"');
        tw_buf_addc(out, s.at[i]);
    }
    if (quote)
        tw_buf_addc(out, '"');
}

static void add_record(const row *r, int64_t record, tw_buf *out)
{
    tw_buf_addc(out, ',');
    tw_tc_add(record, r->master->rate, r->master->drop, out);
}

static void add_source(const row *r, int64_t frame, tw_buf *out)
{
    const tw_item *clip = r->shot->clip;
    tw_buf_addc(out, ',');
    if (clip->has_source)
        tw_tc_add(tw_item_shown_frame(r->master, clip, frame), tw_item_source_rate(r->master, clip), clip->source_drop,
                  out);
}

static void add_number(double value, int places, tw_buf *out)
{
    tw_buf_addc(out, ',');
    tw_buf_add_fixed(out, value, places);
}

static void add_key(const row *r, const tw_key *key, tw_buf *out)
{
    const tw_framing *f = r->shot->framing;
    tw_window win = tw_geom_key_window(*key, f->squeeze, f->delivery);
    double right, down;
    tw_geom_move(win, f->source, f->delivery, &right, &down);
    tw_buf_addc(out, ',');
    tw_buf_add_int(out, key->frame);
    add_record(r, tw_stand_record(r->shot->stand, key->frame), out);
    add_source(r, key->frame, out);
    add_number(win.x, 3, out);
    add_number(win.y, 3, out);
    add_number(win.w, 3, out);
    add_number(win.h, 3, out);
    add_number(tw_geom_scale(win.w, f->delivery), 6, out);
    add_number(tw_geom_zoom(win.w, f->source, f->squeeze, f->delivery), 6, out);
    add_number(right, 3, out);
    add_number(down, 3, out);
    add_number(key->ease, 3, out);
    tw_buf_addz(out, f->mode == TW_FRAME_FIT ? ",fit\r\n" : ",fill\r\n");
}

static void add_shot(const row *r, tw_buf *out)
{
    const tw_decision *shot = r->shot;
    tw_span seen = r->shot->stand->seen;
    for (size_t k = 0; shot->framing != NULL && k < shot->framing->key_count; k++) {
        add_field(shot->track->name, out);
        tw_buf_addc(out, ',');
        add_field(r->event, out);
        tw_buf_addc(out, ',');
        add_field(tw_item_source_name(shot->clip), out);
        tw_buf_addc(out, ',');
        add_field(shot->clip->name, out);
        add_source(r, tw_stand_frame(r->shot->stand, seen.first), out);
        add_source(r, tw_stand_frame(r->shot->stand, seen.end), out);
        add_record(r, seen.first, out);
        add_record(r, seen.end, out);
        add_key(r, &shot->framing->keys[k], out);
    }
}

void tw_report_keys(const tw_derived *derived, size_t delivery, tw_buf *out)
{
    tw_arena *scratch = tw_arena_like(out->arena);
    const tw_derived_delivery *d = &derived->deliveries[delivery];
    tw_buf_addz(out,
                "track,event,reel,clip,source_in,source_out,record_in,record_out,frame,record,source,x,y,w,h,scale,"
                "zoom,move_x,move_y,ease,mode\r\n");
    for (size_t i = 0; i < d->shot_count; i++) {
        const tw_decision *shot = &d->shots[i];
        const row r = {derived->master, shot, twi_report_event(scratch, shot, i)};
        add_shot(&r, out);
    }
    tw_arena_free(&scratch);
}
