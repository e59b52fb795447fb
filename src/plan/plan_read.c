/* SPDX-License-Identifier: Apache-2.0
 *
 * Reading a plan: the document, its edit, deliveries, sources and motion. Notes are read in plan_notes.c.
 */
#include "plan_internal.h"

#define VERSION 1
#define INSET 0.05 /* must regions keep off the edge by so much when nothing is said: EBU R 95 graphics area */

/* ---- document -------------------------------------------------------------------------------------------- */

/* The document in a plan of its own; the root is an object of our version. */
static tw_status open_plan(twi_plan_job *job, tw_str bytes, tw_str file)
{
    job->plan = TW_NEW(job->arena, tw_plan);
    job->plan->file = file;
    static const tw_json_options options = {.bom_ok = true, .fold = TW_PLAN_FOLD};
    tw_status status = tw_json_read(job->arena, bytes, file, &options, job->diags, &job->plan->doc);
    if (status != TW_OK)
        return status;
    const tw_json *root = job->plan->doc.root, *version = tw_json_get(root, "tallwide_plan");
    int64_t number;
    if (version == NULL) {
        twi_plan_tell(job, 1501, root, "this is no plan: a plan is an object with \"tallwide_plan\": 1");
        return TW_ERR_SEMANTIC;
    }
    if (tw_json_int(version, &number) && number != VERSION) {
        twi_plan_tell(job, 1502, version, "this plan is of version %.*s; this tool reads version 1",
                      TW_ARG(version->text));
        return TW_ERR_SEMANTIC;
    }
    return TW_OK;
}

/* ---- edit ------------------------------------------------------------------------------------------------ */

static void read_rate(const twi_plan_job *job, const tw_json *object, tw_rate *rate, bool *drop)
{
    const tw_json *text = tw_json_get(object, "rate"), *flag = tw_json_get(object, "drop");
    bool told_drop = false;
    *rate = (tw_rate){0, 0};
    if (tw_json_is(text, TW_JSON_STRING) || tw_json_is(text, TW_JSON_NUMBER))
        tw_rate_read(text->text, rate, &told_drop);
    *drop = twi_plan_flag(object, "drop", told_drop);
    if (tw_rate_known(*rate) && !tw_rate_can_drop(*rate) && *drop) {
        tw_buf spoken = {.arena = job->arena};
        tw_rate_write_spoken(*rate, false, &spoken);
        twi_plan_tell(job, 1528, flag, "%.*s frames a second have no drop-frame time code: leave \"drop\" out",
                      TW_ARG(tw_buf_str(&spoken)));
    }
}

static void read_edit(const twi_plan_job *job)
{
    tw_plan *plan = job->plan;
    const tw_json *edit = tw_json_get(plan->doc.root, "edit");
    plan->edit_file = twi_plan_text(edit, "file");
    plan->edit_timeline = twi_plan_text(edit, "timeline");
    read_rate(job, edit, &plan->rate, &plan->drop);
}

/* ---- deliveries ------------------------------------------------------------------------------------------ */

bool tw_plan_is_name(tw_str s)
{
    for (size_t i = 0; i < s.len; i++) {
        char c = s.at[i];
        bool fine = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
        if (!fine)
            return false;
    }
    return s.len > 0;
}

tw_size twi_plan_size(const tw_json *size)
{
    int64_t w, h;
    if (!tw_json_is(size, TW_JSON_ARRAY) || size->count != 2 || !tw_json_int(size->in.first, &w) ||
        !tw_json_int(size->in.last, &h) || w < 1 || h < 1 || w > INT32_MAX || h > INT32_MAX)
        return (tw_size){0, 0};
    return (tw_size){(int32_t)w, (int32_t)h};
}

static void read_inset(const twi_plan_job *job, tw_delivery *d)
{
    tw_inset base = {INSET, INSET, INSET, INSET};
    if (d->safe.len > 0) {
        const tw_safe *safe = tw_safe_find(d->safe);
        if (safe == NULL)
            twi_plan_tell(
                job, 1510, tw_json_get(d->json, "safe"),
                "the safe area \"%.*s\" is not known: write \"st2046-1\" or \"ebu-r95\", or give an \"inset\"",
                TW_ARG(tw_str_cut(d->safe, 40)));
        else
            base = safe->graphics;
    }
    const tw_json *inset = tw_json_get(d->json, "inset");
    d->has_inset = tw_json_is(inset, TW_JSON_OBJECT);
    d->inset = (tw_inset){
        .left = twi_plan_number(inset, "left", base.left),
        .top = twi_plan_number(inset, "top", base.top),
        .right = twi_plan_number(inset, "right", base.right),
        .bottom = twi_plan_number(inset, "bottom", base.bottom),
    };
    if (d->has_inset && (d->inset.left + d->inset.right >= 1 || d->inset.top + d->inset.bottom >= 1))
        twi_plan_tell(job, 1511, inset,
                      "these insets leave nothing of the picture: opposite sides must add up to less "
                      "than 1");
}

static void read_formats(const twi_plan_job *job, tw_delivery *d)
{
    const tw_json *format;
    size_t count = twi_plan_list(d->json, "formats", &format);
    if (count > TW_PLAN_FORMATS)
        twi_plan_tell(job, 1529, tw_json_get(d->json, "formats"), "%zu formats are more than the %d that can be named",
                      count, TW_PLAN_FORMATS);
    for (; format != NULL && d->format_count < TW_PLAN_FORMATS; format = format->next)
        if (format->kind == TW_JSON_STRING)
            d->formats[d->format_count++] = format->text;
}

static void read_delivery(const twi_plan_job *job, const tw_json *json, tw_delivery *d)
{
    static const tw_keys_form forms[] = {TW_KEYS_EASED, TW_KEYS_BEZIER, TW_KEYS_LINEAR};
    twi_section section = twi_plan_section("deliveries[]");
    d->json = json;
    d->name = twi_plan_text(json, "name");
    if (tw_json_is(tw_json_get(json, "name"), TW_JSON_STRING) && !tw_plan_is_name(d->name))
        twi_plan_tell(job, 1508, tw_json_get(json, "name"),
                      "a delivery's name becomes part of file names: write letters, digits, '-' and '_' only");
    d->size = twi_plan_size(tw_json_get(json, "size"));
    d->max_scale = twi_plan_number(json, "max_scale", 1);
    d->safe = twi_plan_text(json, "safe");
    read_inset(job, d);
    d->moves = (tw_moves)(twi_plan_choice(section, json, "moves", 0) + TW_PLAN_MOVES_AUTO);
    d->zoom = twi_plan_flag(json, "zoom", false);
    d->steady = twi_plan_number(json, "steady", 0);
    d->keys = forms[twi_plan_choice(section, json, "keys", 0)];
    read_formats(job, d);
    d->frame = twi_plan_choice(section, json, "frame", 0) == 1 ? TW_FRAME_FIT : TW_FRAME_FILL;
}

static void read_deliveries(twi_plan_job *job)
{
    tw_plan *plan = job->plan;
    const tw_json *json;
    size_t count = twi_plan_list(plan->doc.root, "deliveries", &json), named = 0;
    plan->deliveries = TW_NEW_N(job->arena, tw_delivery, count);
    job->names = TW_NEW_N(job->arena, tw_str, count);
    twi_named *rows = TW_NEW_N(job->arena, twi_named, count);
    for (; json != NULL; json = json->next) {
        if (json->kind != TW_JSON_OBJECT)
            continue;
        tw_delivery *d = &plan->deliveries[plan->delivery_count];
        read_delivery(job, json, d);
        job->names[plan->delivery_count++] = d->name;
        if (d->name.len > 0) /* two names that differ in case only are one file on some systems */
            rows[named++] = (twi_named){.name = tw_arena_lower(job->arena, d->name), .at = tw_json_get(json, "name")};
    }
    twi_plan_repeats(job, rows, named, 1509, "the delivery name");
    TW_SORT(job->names, plan->delivery_count, tw_str_order);
}

/* ---- sources --------------------------------------------------------------------------------------------- */

#define LEAST_SQUEEZE 0.01 /* what derived files are read back with */
#define MOST_SQUEEZE 100

static void read_source(const twi_plan_job *job, const tw_json *json, tw_source *s)
{
    static const tw_source_kind kinds[] = {TW_SOURCE_CAMERA, TW_SOURCE_STILL, TW_SOURCE_GRAPHIC};
    twi_section section = twi_plan_section("sources[]");
    s->json = json;
    s->reel = twi_plan_text(json, "reel");
    s->size = twi_plan_size(tw_json_get(json, "size"));
    s->squeeze = twi_plan_number(json, "squeeze", 1);
    if (s->squeeze > 0 && (s->squeeze < LEAST_SQUEEZE || s->squeeze > MOST_SQUEEZE))
        twi_plan_tell(job, 1505, tw_json_get(json, "squeeze"), "\"squeeze\" must be a pixel aspect from 0.01 to 100");
    read_rate(job, json, &s->rate, &s->drop);
    s->kind = kinds[twi_plan_choice(section, json, "kind", 0)];
    int usual = s->kind == TW_SOURCE_GRAPHIC ? 1 : 0;
    s->frame = twi_plan_choice(section, json, "frame", usual) == 1 ? TW_FRAME_FIT : TW_FRAME_FILL;
}

/* Auxiliary sources and black: patterns are not for them. */
static bool is_general(tw_str reel)
{
    static const char *const reels[] = {"AX", "BL", "BLK", "BLACK"};
    for (size_t i = 0; i < TW_COUNT(reels); i++)
        if (tw_str_ieq(reel, tw_str_z(reels[i])))
            return true;
    return false;
}

/* What a pattern before it takes away from a reel's own source. */
static void tell_shadowed(const twi_plan_job *job)
{
    const tw_plan *plan = job->plan;
    for (size_t i = 0; i < plan->source_count; i++) {
        const tw_source *s = &plan->sources[i], *first = tw_plan_source(plan, &s->reel, 1, 1);
        if (s->reel.len > 0 && first != s && tw_str_has_wildcard(first->reel) && !tw_str_has_wildcard(s->reel) &&
            !is_general(s->reel))
            twi_plan_tell(job, 1526, tw_json_get(s->json, "reel"),
                          "\"%.*s\" stands before it and is for this reel too: the first match counts, so move this "
                          "one up",
                          TW_ARG(first->reel));
    }
}

static void read_sources(twi_plan_job *job)
{
    tw_plan *plan = job->plan;
    const tw_json *json;
    size_t count = twi_plan_list(plan->doc.root, "sources", &json), named = 0;
    plan->sources = TW_NEW_N(job->arena, tw_source, count);
    twi_named *rows = TW_NEW_N(job->arena, twi_named, count);
    for (; json != NULL; json = json->next) {
        if (json->kind != TW_JSON_OBJECT)
            continue;
        tw_source *s = &plan->sources[plan->source_count++];
        read_source(job, json, s);
        if (s->reel.len > 0)
            rows[named++] = (twi_named){.name = tw_arena_lower(job->arena, s->reel), .at = tw_json_get(json, "reel")};
    }
    twi_plan_repeats(job, rows, named, 1526, "the reel");
    twi_plan_index(job->arena, plan);
    tell_shadowed(job);
    twi_plan_media(job);
}

/* ---- motion ---------------------------------------------------------------------------------------------- */

static void read_motion(const twi_plan_job *job)
{
    const tw_json *json = tw_json_get(job->plan->doc.root, "motion"), *speed;
    tw_motion *m = &job->plan->motion;
    size_t count = twi_plan_list(json, "speeds", &speed);
    for (size_t i = 0; i < 5 && count == 5; i++, speed = speed->next)
        tw_json_double(speed, &m->speeds[i]);
    m->accel = twi_plan_number(json, "accel", 0);
    m->ease = twi_plan_number(json, "ease", 0);
    m->move_time = twi_plan_number(json, "move_time", 0);
    m->link = twi_plan_number(json, "link", 0);
    m->hold = twi_plan_number(json, "hold", 0);
    m->zoom = twi_plan_number(json, "zoom", 0);
    m->lazy = twi_plan_number(json, "lazy", 0);
    m->no_settle = !twi_plan_flag(json, "settle", true);
}

/* ---- what a delivery is made from ------------------------------------------------------------------------ */

static void mix(uint64_t *hash, uint64_t with)
{
    *hash = (*hash ^ with) * UINT64_C(0x100000001b3);
}

/* Blanks between values do not count, but in what is folded. Depth is bounded by jsonio. */
static void mix_value(uint64_t *hash, const tw_json *value)
{
    mix(hash, value->kind + UINT64_C(8) * value->count);
    mix(hash, tw_str_hash(value->key));
    mix(hash, tw_str_hash(value->folded ? value->text : tw_json_text(value)));
    for (const tw_json *v = tw_json_first(value); v != NULL; v = v->next)
        mix_value(hash, v);
}

/* All of the plan but the other deliveries and the notes for them alone. */
static void mix_deliveries(const tw_plan *plan)
{
    uint64_t all = 0;
    for (const tw_json *v = tw_json_first(plan->doc.root); v != NULL; v = v->next)
        if (!tw_str_is(v->key, "deliveries") && !tw_str_is(v->key, "notes"))
            mix_value(&all, v);
    for (size_t n = 0; n < plan->note_count; n++)
        if (plan->notes[n].delivery_count == 0)
            mix_value(&all, plan->notes[n].json);
    for (size_t i = 0; i < plan->delivery_count; i++) {
        tw_delivery *d = &plan->deliveries[i];
        d->hash = all;
        mix_value(&d->hash, d->json);
        for (size_t n = 0; n < plan->note_count; n++)
            if (plan->notes[n].delivery_count > 0 && tw_note_covers(&plan->notes[n], d->name))
                mix_value(&d->hash, plan->notes[n].json);
    }
}

/* ---- calls ----------------------------------------------------------------------------------------------- */

static tw_status finish(twi_plan_job *job, tw_rate edit_rate, bool edit_drop)
{
    size_t errors = tw_diags_count(job->diags, TW_ERROR);
    const tw_json *root = job->plan->doc.root;
    twi_plan_check(job, root, "");
    read_edit(job);
    job->rate = edit_rate;
    job->drop = edit_drop;
    job->told = TW_NEW_N(job->arena, bool, job->plan->clock_count);
    twi_plan_take_clock(tw_json_get(root, "edit"), job->plan->rate, job->plan->drop, &job->rate, &job->drop);
    read_deliveries(job);
    read_sources(job);
    read_motion(job);
    twi_plan_notes(job, root);
    mix_deliveries(job->plan);
    return tw_diags_count(job->diags, TW_ERROR) > errors ? TW_ERR_SEMANTIC : TW_OK;
}

tw_status tw_plan_finish(tw_arena *arena, tw_plan *plan, tw_rate edit_rate, bool edit_drop, tw_diags *diags)
{
    twi_plan_job job = {.arena = arena, .diags = diags, .plan = plan};
    return finish(&job, edit_rate, edit_drop);
}

tw_status tw_plan_read(tw_arena *arena, tw_str bytes, tw_str file, tw_rate edit_rate, bool edit_drop, tw_diags *diags,
                       tw_plan **out)
{
    twi_plan_job job = {.arena = arena, .diags = diags};
    tw_status status = open_plan(&job, bytes, file);
    if (status == TW_OK)
        status = finish(&job, edit_rate, edit_drop);
    if (status == TW_OK)
        *out = job.plan;
    return status;
}

static void edit_alone(twi_plan_job *job, tw_diags *diags)
{
    const tw_json *root = job->plan->doc.root, *edit = tw_json_get(root, "edit");
    job->diags = diags;
    if (tw_json_is(edit, TW_JSON_OBJECT)) {
        twi_plan_check(job, edit, "edit");
        read_edit(job);
    } else {
        twi_plan_tell(job, edit == NULL ? 1504 : 1505, edit == NULL ? root : edit,
                      "a plan needs \"edit\": an object with the \"file\" of the master edit");
    }
}

/* What there is to say is kept for tw_plan_finish, unless this is all there will be. */
tw_status tw_plan_open(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_plan **out)
{
    twi_plan_job job = {.arena = arena, .diags = diags};
    tw_status status = open_plan(&job, bytes, file);
    if (status != TW_OK)
        return status;
    tw_diags *quiet = tw_diags_new(arena);
    edit_alone(&job, quiet);
    if (tw_diags_failed(quiet)) {
        edit_alone(&job, diags);
        return TW_ERR_SEMANTIC;
    }
    *out = job.plan;
    return TW_OK;
}

const tw_delivery *tw_plan_delivery(const tw_plan *plan, tw_str name)
{
    for (size_t i = 0; i < plan->delivery_count; i++)
        if (tw_str_eq(plan->deliveries[i].name, name))
            return &plan->deliveries[i];
    return NULL;
}

tw_str tw_plan_delivery_names(tw_arena *arena, const tw_plan *plan)
{
    tw_buf names = {.arena = arena};
    for (size_t i = 0; i < plan->delivery_count; i++)
        tw_buf_addf(&names, "%s%.*s", i > 0 ? ", " : "", TW_ARG(plan->deliveries[i].name));
    return tw_buf_str(&names);
}
