/* SPDX-License-Identifier: Apache-2.0
 *
 * Notes, their regions and the rows of keys.
 */
#include "plan_internal.h"

#include <math.h>
#include <stdlib.h>

#define SLACK 1e-9 /* shares that stick out by less are rounding, not a fault */
#define SHOWN 40   /* bytes of a name repeated in a message */

/* ---- rows ------------------------------------------------------------------------------------------------ */

typedef struct key_row {
    int64_t frame;
    double part; /* of a frame behind it */
    double values[4];
} key_row;

/* A window's time may be a number with a fraction, counted from the note's in. */
static bool read_window_time(twi_plan_job *job, const twi_clock *clock, const tw_json *time, key_row *out)
{
    int64_t whole;
    double count;
    bool fraction = !tw_json_int(time, &whole) && tw_json_double(time, &count) && fabs(count) < 1e12;
    if (!fraction || !clock->has_in)
        return twi_plan_time(job, clock, time, &out->frame);
    out->frame = clock->in + (int64_t)floor(count);
    out->part = count - floor(count);
    return true;
}

/* [time, four numbers]; `least` numbers must be there, the others are 0. */
static bool read_row(twi_plan_job *job, const twi_clock *clock, const tw_json *row, uint32_t least, key_row *out)
{
    const char *form = least == 4 ? "[time, left, top, width, height]" : "[frame or time, left, top, width, ease]";
    *out = (key_row){.frame = 0};
    if (!tw_json_is(row, TW_JSON_ARRAY) || row->count < least + 1 || row->count > 5) {
        twi_plan_tell(job, 1524, row, "a key is a list %s", form);
        return false;
    }
    size_t i = 0;
    for (const tw_json *v = row->in.first->next; v != NULL; v = v->next, i++) {
        if (!tw_json_double(v, &out->values[i])) {
            twi_plan_tell(job, 1524, v, "a key is a list %s: this must be a number", form);
            return false;
        }
    }
    return least == 4 ? twi_plan_time(job, clock, row->in.first, &out->frame)
                      : read_window_time(job, clock, row->in.first, out);
}

/* What is known of the keys read so far in one list. */
typedef struct key_run {
    bool begun;
    int64_t last;
    double last_part;
    size_t outside; /* keys before the note's in or after its out */
    tw_json first_outside;
} key_run;

/* False when the key does not come after the one before it. */
static bool in_order(const twi_plan_job *job, const tw_note *note, const tw_json *row, const key_row *key, key_run *run)
{
    int64_t frame = key->frame;
    if (run->begun && (frame < run->last || (frame == run->last && key->part <= run->last_part))) {
        twi_plan_tell(job, 1520, row->in.first,
                      "this key does not come after the one before it: keys stand in order of "
                      "time, one at a time");
        return false;
    }
    run->begun = true;
    run->last = frame;
    run->last_part = key->part;
    if ((note->has_in && frame < note->in) || (note->has_out && frame > note->out)) {
        if (run->outside++ == 0)
            run->first_outside = *row->in.first;
    }
    return true;
}

static void tell_outside(const twi_plan_job *job, const key_run *run)
{
    if (run->outside == 1)
        twi_plan_tell(job, 1521, &run->first_outside,
                      "this key lies outside the note's \"in\" and \"out\"; it still shapes "
                      "what is between");
    else if (run->outside > 1)
        twi_plan_tell(job, 1521, &run->first_outside,
                      "this key and %zu more lie outside the note's \"in\" and \"out\"; they "
                      "still shape what is between",
                      run->outside - 1);
}

/* ---- region keys ----------------------------------------------------------------------------------------- */

static void clip_side(double *start, double *length, bool *clipped)
{
    double end = *start + *length;
    *clipped = *clipped || *start < -SLACK || end > 1 + SLACK;
    double from = *start < 0 ? 0 : *start, to = end > 1 ? 1 : end;
    if (from > *start || to < end) {
        *start = from;
        *length = to - from;
    }
}

bool twi_plan_clip(tw_region_key *box, bool *clipped)
{
    *clipped = false;
    clip_side(&box->left, &box->width, clipped);
    clip_side(&box->top, &box->height, clipped);
    return box->width > 0 && box->height > 0;
}

static bool read_box(const twi_plan_job *job, const tw_json *row, const key_row *key, tw_region_key *box)
{
    *box = (tw_region_key){key->frame, key->values[0], key->values[1], key->values[2], key->values[3]};
    if (!(box->width > 0) || !(box->height > 0)) {
        twi_plan_tell(job, 1522, row, "a box needs a width and a height above 0");
        return false;
    }
    bool clipped;
    if (!twi_plan_clip(box, &clipped)) {
        twi_plan_tell(job, 1522, row, "this box lies outside the picture");
        tw_diag_hint(job->diags, "left, top, width and height are shares of the source picture, from 0 to 1");
        return false;
    }
    if (clipped) {
        twi_plan_tell(job, 1523, row, "this box sticks out of the picture; the part inside was used");
        tw_diag_hint(job->diags, "left, top, width and height are shares of the source picture, from 0 to 1");
    }
    return true;
}

static void read_region_keys(twi_plan_job *job, const twi_clock *clock, const tw_note *note, tw_region *region)
{
    const tw_json *row;
    size_t count = twi_plan_list(region->json, "keys", &row);
    region->keys = TW_NEW_N(job->arena, tw_region_key, count);
    key_run run = {.begun = false};
    tw_json_rows rows;
    tw_json_rows_begin(&rows, count > 0 ? tw_json_get(region->json, "keys") : NULL);
    while ((row = tw_json_row(&rows)) != NULL) {
        key_row key;
        tw_region_key box;
        if (!read_row(job, clock, row, 4, &key) || !in_order(job, note, row, &key, &run))
            continue;
        if (read_box(job, row, &key, &box))
            region->keys[region->key_count++] = box;
    }
    tell_outside(job, &run);
    region->hand = region->keys;
    region->hand_count = region->key_count;
}

/* ---- regions --------------------------------------------------------------------------------------------- */

static void read_track(twi_plan_job *job, const twi_clock *clock, tw_region *region)
{
    region->track = twi_plan_text(region->json, "track");
    region->has_track_id = tw_json_int(tw_json_get(region->json, "track_id"), &region->track_id);
    const tw_json *start = tw_json_get(region->json, "track_start");
    if (start != NULL && (start->kind == TW_JSON_STRING || start->kind == TW_JSON_NUMBER))
        region->has_track_start = twi_plan_time(job, clock, start, &region->track_start);
}

static void check_keys_or_track(const twi_plan_job *job, const tw_region *region)
{
    const tw_json *keys;
    bool has_keys = twi_plan_list(region->json, "keys", &keys) > 0, has_track = region->track.len > 0;
    tw_str name = tw_str_cut(region->name, SHOWN);
    if (!has_keys && !has_track)
        twi_plan_tell(job, 1519, region->json,
                      "the region \"%.*s\" says nowhere where it is: give it \"keys\" or a "
                      "\"track\"",
                      TW_ARG(name));
}

static void read_region(twi_plan_job *job, const twi_clock *clock, const tw_note *note, tw_region *region)
{
    static const int looks[] = {-1, 1, 0};
    const tw_json *json = region->json, *focus;
    region->name = twi_plan_text(json, "name");
    region->must = twi_plan_choice(job->region, json, "need", 0) == 0;
    region->weight = twi_plan_number(json, "weight", 1);
    region->detector = twi_plan_choice(job->region, json, "origin", 0) == 1;
    region->look = looks[twi_plan_choice(job->region, json, "look", 2)];
    if (twi_plan_list(json, "focus", &focus) == 2)
        region->has_focus = tw_json_double(focus, &region->focus_x) && tw_json_double(focus->next, &region->focus_y);
    read_region_keys(job, clock, note, region);
    read_track(job, clock, region);
    check_keys_or_track(job, region);
}

static void read_regions(twi_plan_job *job, const twi_clock *clock, tw_note *note)
{
    const tw_json *json;
    size_t count = twi_plan_list(note->json, "regions", &json), named = 0;
    note->regions = TW_NEW_N(job->arena, tw_region, count);
    twi_named *rows = TW_NEW_N(job->arena, twi_named, count);
    for (; json != NULL; json = json->next) {
        if (json->kind != TW_JSON_OBJECT)
            continue;
        tw_region *region = &note->regions[note->region_count++];
        region->note = note;
        region->json = json;
        read_region(job, clock, note, region);
        if (region->name.len > 0)
            rows[named++] = (twi_named){.name = region->name, .at = tw_json_get(json, "name")};
    }
    twi_plan_repeats(job, rows, named, 1518, "in this note the region name");
}

/* ---- windows by hand ------------------------------------------------------------------------------------- */

static void read_window(twi_plan_job *job, const twi_clock *clock, tw_note *note)
{
    const tw_json *row;
    size_t count = twi_plan_list(note->json, "window", &row);
    note->window = TW_NEW_N(job->arena, tw_hand_key, count);
    key_run run = {.begun = false};
    for (; row != NULL; row = row->next) {
        key_row key;
        if (!read_row(job, clock, row, 3, &key) || !in_order(job, note, row, &key, &run))
            continue;
        if (!(key.values[2] > 0) || !(key.values[3] >= 0)) {
            twi_plan_tell(job, 1522, row, "a window needs a width above 0 and an ease of 0 or more");
            continue;
        }
        if (key.values[2] <= 1) {
            twi_plan_tell(job, 1522, row, "this window is no wider than a pixel of the source");
            tw_diag_hint(job->diags, "windows are in pixels of the source, boxes of regions in shares of it");
            continue;
        }
        note->window[note->window_count++] =
            (tw_hand_key){key.frame, key.values[0], key.values[1], key.values[2], key.values[3], key.part};
    }
    tell_outside(job, &run);
}

/* ---- notes ----------------------------------------------------------------------------------------------- */

static void tell_no_delivery(const twi_plan_job *job, const tw_json *name)
{
    const tw_str *meant = NULL;
    size_t least = TW_NO_SLIP;
    for (size_t i = 0; i < job->plan->delivery_count; i++)
        if (tw_str_is_nearer(name->text, job->names[i], &least))
            meant = &job->names[i];
    twi_plan_tell(job, 1525, name, "no delivery is called \"%.*s\"; nothing comes of this name",
                  TW_ARG(tw_str_cut(name->text, SHOWN)));
    if (meant != NULL)
        tw_diag_hint(job->diags, "did you mean \"%.*s\"?", TW_ARG(*meant));
}

static void read_names(const twi_plan_job *job, tw_note *note)
{
    const tw_json *name;
    size_t count = twi_plan_list(note->json, "deliveries", &name);
    note->deliveries = TW_NEW_N(job->arena, tw_str, count);
    for (; name != NULL; name = name->next) {
        if (name->kind != TW_JSON_STRING)
            continue;
        note->deliveries[note->delivery_count++] = name->text;
        if (bsearch(&name->text, job->names, job->plan->delivery_count, sizeof *job->names, tw_str_order) == NULL)
            tell_no_delivery(job, name);
    }
}

static void read_range(twi_plan_job *job, twi_clock *clock, tw_note *note)
{
    const tw_json *in = tw_json_get(note->json, "in"), *out = tw_json_get(note->json, "out");
    note->has_in = tw_json_is(in, TW_JSON_STRING) && twi_plan_time(job, clock, in, &note->in);
    note->has_out = tw_json_is(out, TW_JSON_STRING) && twi_plan_time(job, clock, out, &note->out);
    clock->has_in = note->has_in;
    clock->in = note->in;
    if (note->has_in && note->has_out && note->in >= note->out)
        twi_plan_tell(job, 1516, out, "the note's \"out\" must come after its \"in\" (it is the frame after the last)");
}

static void read_note(twi_plan_job *job, const tw_json *json, tw_note *note)
{
    note->json = json;
    note->id = twi_plan_text(json, "id");
    note->reel = twi_plan_text(json, "reel");
    twi_clock clock = twi_plan_clock(job, note->reel);
    read_range(job, &clock, note);
    read_names(job, note);
    read_regions(job, &clock, note);
    read_window(job, &clock, note);
    note->subject_fill = twi_plan_number(json, "subject_fill", 0);
    note->steady = twi_plan_number(json, "steady", -1);
    note->movement = twi_plan_text(json, "movement");
    note->moves = (tw_moves)(twi_plan_choice(job->note, json, "moves", -1) + TW_PLAN_MOVES_AUTO);
    note->say = twi_plan_text(json, "say");
    note->by = twi_plan_text(json, "by");
    note->state = twi_plan_text(json, "state");
}

void twi_plan_notes(twi_plan_job *job, const tw_json *root)
{
    tw_plan *plan = job->plan;
    const tw_json *json;
    size_t count = twi_plan_list(root, "notes", &json), named = 0;
    plan->notes = TW_NEW_N(job->arena, tw_note, count);
    twi_named *rows = TW_NEW_N(job->arena, twi_named, count);
    job->note = twi_plan_section("notes[]");
    job->region = twi_plan_section("notes[].regions[]");
    for (; json != NULL; json = json->next) {
        if (json->kind != TW_JSON_OBJECT)
            continue;
        tw_note *note = &plan->notes[plan->note_count++];
        read_note(job, json, note);
        if (note->id.len > 0)
            rows[named++] = (twi_named){.name = note->id, .at = tw_json_get(json, "id")};
    }
    twi_plan_repeats(job, rows, named, 1517, "the note id");
}

bool tw_note_covers(const tw_note *note, tw_str delivery)
{
    for (size_t i = 0; i < note->delivery_count; i++)
        if (tw_str_eq(note->deliveries[i], delivery))
            return true;
    return note->delivery_count == 0;
}

bool tw_note_holds(const tw_note *note, double source)
{
    double shown = floor(source + 1e-6);
    return (!note->has_in || shown >= (double)note->in) && (!note->has_out || shown < (double)note->out);
}

const tw_note *tw_plan_note(const tw_plan *plan, tw_str id)
{
    for (size_t i = 0; i < plan->note_count; i++)
        if (tw_str_eq(plan->notes[i].id, id))
            return &plan->notes[i];
    return NULL;
}

tw_json *tw_plan_note_json(const tw_json *root, tw_str id)
{
    for (tw_json *n = tw_json_first(tw_json_get(root, "notes")); n != NULL; n = n->next) {
        const tw_json *own = tw_json_get(n, "id");
        if (own != NULL && tw_str_eq(tw_json_text(own), id))
            return n;
    }
    return NULL;
}
