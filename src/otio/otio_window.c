/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#include <math.h>

#define UNITS "source pixels, origin top left, y down"
#define PLACES 3 /* decimals of a pixel, the same in every file of a delivery */

static const char *const interp_words[] = {
    [TW_INTERP_EASED] = "straight-eased", [TW_INTERP_BEZIER] = "bezier", [TW_INTERP_LINEAR] = "linear"};
static const char *const mode_words[] = {[TW_FRAME_FILL] = "fill", [TW_FRAME_FIT] = "fit"};

tw_json *twi_otio_window_find(const tw_json *effects)
{
    tw_json *effect = tw_json_is(effects, TW_JSON_ARRAY) ? tw_json_first(effects) : NULL;
    while (effect != NULL && !tw_str_is(twi_otio_text(effect, "effect_name"), TWI_OTIO_WINDOW))
        effect = effect->next;
    return effect;
}

/* ---- reading --------------------------------------------------------------------------------------------- */

static bool bad(twi_otio *o, const tw_json *dict, const char *name, const char *expected)
{
    const tw_json *value = tw_json_get(dict, name);
    twi_otio_say(o, 1323, value != NULL ? value : dict, "\"%s\" of a " TWI_OTIO_WINDOW " effect must be %s, and is %s",
                 name, expected, value != NULL ? twi_otio_what(o->arena, value) : "missing");
    return false;
}

static bool number(twi_otio *o, const tw_json *dict, const char *name, double least, double *out)
{
    if (tw_json_double(tw_json_get(dict, name), out) && *out >= least && fabs(*out) <= TW_GEOM_LIMIT)
        return true;
    return bad(o, dict, name, least < 0 ? "a number of pixels" : "a number not below 0");
}

static bool word(twi_otio *o, const tw_json *dict, const char *name, const char *const *words, size_t count)
{
    tw_str text = twi_otio_text(dict, name);
    for (size_t i = 0; i < count; i++)
        if (tw_str_is(text, words[i]))
            return true;
    tw_buf list = {.arena = o->arena};
    for (size_t i = 0; i < count; i++)
        tw_buf_addf(&list, "%s\"%s\"", i > 0 ? " or " : "", words[i]);
    tw_buf_addc(&list, '\0');
    return bad(o, dict, name, list.at);
}

static int word_index(tw_str text, const char *const *words)
{
    int i = 0;
    while (!tw_str_is(text, words[i]))
        i++;
    return i;
}

static bool pixels(twi_otio *o, const tw_json *dict, const char *name, tw_size *out)
{
    return twi_otio_size(tw_json_get(dict, name), out) || bad(o, dict, name, "[width, height] in pixels");
}

static bool read_head(twi_otio *o, const tw_json *dict, tw_framing *f)
{
    static const char *const units[] = {UNITS};
    double version = 0;
    if (!tw_json_double(tw_json_get(dict, "version"), &version) || version < 1 || version > 1)
        return bad(o, dict, "version", "1");
    bool fine = word(o, dict, "frame", mode_words, 2);
    fine = word(o, dict, "interpolation", interp_words, 3) && fine;
    fine = word(o, dict, "units", units, 1) && fine;
    fine = pixels(o, dict, "size", &f->delivery) && fine;
    fine = pixels(o, dict, "source_size", &f->source) && fine;
    fine = number(o, dict, "squeeze", 0, &f->squeeze) && fine;
    if (!fine)
        return false;
    if (f->squeeze < 0.01 || f->squeeze > 100)
        return bad(o, dict, "squeeze", "a pixel aspect between 0.01 and 100");
    f->mode = (tw_frame_mode)word_index(twi_otio_text(dict, "frame"), mode_words);
    f->interp = (tw_interp)word_index(twi_otio_text(dict, "interpolation"), interp_words);
    return true;
}

/* Seconds of a RationalTime, as a double: the key's frame is made of it, and nothing is added to it. */
static bool seconds_of(const tw_json *time, double *seconds)
{
    tw_rate rate;
    double fps = 0, value = 0;
    if (!tw_str_is(twi_otio_text(time, "OTIO_SCHEMA"), "RationalTime.1") ||
        !tw_json_double(tw_json_get(time, "rate"), &fps) || !tw_rate_snap(fps, &rate, NULL) ||
        !tw_json_double(tw_json_get(time, "value"), &value))
        return false;
    *seconds = value / tw_rate_fps(rate);
    return true;
}

/* The key's time says where it is; `frame` only repeats it as it was when the clip began where it then began. */
static bool read_frame(twi_otio *o, const tw_json *key, const tw_item *item, int64_t *frame, bool *moved)
{
    double seconds, written;
    if (!seconds_of(tw_json_get(key, "at"), &seconds))
        return bad(o, key, "at", "a RationalTime.1");
    const twi_otio_origin *origin = item->origin;
    double exact = (seconds - tw_time_seconds(origin->start)) * tw_rate_fps(o->timeline->rate);
    if (!(fabs(exact) < 1e9) || fabs(exact - floor(exact + 0.5)) > 0.01)
        return bad(o, key, "at", "a whole frame of the timeline");
    *frame = (int64_t)floor(exact + 0.5);
    if (!number(o, key, "frame", -TW_GEOM_LIMIT, &written))
        return false;
    *moved = *moved || fabs(written - (double)*frame) > 0.5;
    return true;
}

static bool read_key(twi_otio *o, const tw_json *json, const tw_framing *f, tw_key *key, bool *misfit)
{
    double x = 0, y = 0, h = 0, scale = 0;
    bool fine = number(o, json, "x", -TW_GEOM_LIMIT, &x);
    fine = number(o, json, "y", -TW_GEOM_LIMIT, &y) && fine;
    fine = number(o, json, "w", 0, &key->w) && fine;
    fine = number(o, json, "ease", 0, &key->ease) && fine;
    if (!fine)
        return false;
    if (key->w < 1e-9)
        return bad(o, json, "w", "a width above 0");
    double height = tw_geom_height(key->w, f->squeeze, f->delivery);
    double whole = tw_geom_scale(key->w, f->delivery);
    *misfit = *misfit || (tw_json_double(tw_json_get(json, "h"), &h) && fabs(h - height) > 0.01) ||
              (tw_json_double(tw_json_get(json, "scale"), &scale) && fabs(scale - whole) > whole * 1e-3);
    key->cx = x + key->w / 2;
    key->cy = y + height / 2;
    return true;
}

static bool read_keys(twi_otio *o, const tw_json *dict, const tw_item *item, tw_framing *f)
{
    const tw_json *keys = tw_json_get(dict, "keys");
    if (!tw_json_is(keys, TW_JSON_ARRAY) || keys->count == 0)
        return bad(o, dict, "keys", "a list of at least one key");
    f->keys = TW_NEW_N(o->arena, tw_key, keys->count);
    bool moved = false, misfit = false;
    for (const tw_json *json = tw_json_first(keys); json != NULL; json = json->next) {
        tw_key *key = &f->keys[f->key_count];
        if (!tw_json_is(json, TW_JSON_OBJECT) || !read_frame(o, json, item, &key->frame, &moved) ||
            !read_key(o, json, f, key, &misfit))
            return false;
        if (f->key_count > 0 && key->frame <= key[-1].frame)
            return bad(o, json, "frame", "a frame after that of the key before");
        f->key_count++;
    }
    if (moved)
        twi_otio_say(o, 1324, keys,
                     "\"%.*s\" begins at another frame than when it was framed: the keys stay with their "
                     "times, that is, with the picture",
                     TW_ARG(item->name));
    if (misfit)
        twi_otio_say(o, 1325, keys, "\"%.*s\" has keys whose h or scale does not go with w and the delivery: w counts",
                     TW_ARG(item->name));
    return true;
}

void twi_otio_window_read(twi_otio *o, tw_json *clip, tw_item *item)
{
    const tw_json *effect = twi_otio_window_find(tw_json_get(clip, "effects"));
    if (effect == NULL || !twi_otio_bool(effect, "enabled", true))
        return;
    const tw_json *metadata = tw_json_get(effect, "metadata");
    const tw_json *dict = tw_json_get(metadata, TWI_OTIO_SPACE);
    if (!tw_json_is(dict, TW_JSON_OBJECT)) {
        bad(o, metadata != NULL ? metadata : effect, TWI_OTIO_SPACE, "an object with the window's keys");
        return;
    }
    tw_framing *f = TW_NEW(o->arena, tw_framing);
    if (read_head(o, dict, f) && read_keys(o, dict, item, f))
        item->framing = f;
}

/* ---- writing --------------------------------------------------------------------------------------------- */

/* What this tool tells of a window is a double everywhere, so that a pass through the reference library changes
 * nothing; minus zero is no position. */
static tw_json *decimal(tw_arena *arena, double value)
{
    return tw_json_new_double(arena, value + 0.0);
}

static tw_json *pixel_pair(tw_arena *arena, tw_size size)
{
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    tw_json_append(list, decimal(arena, size.w));
    tw_json_append(list, decimal(arena, size.h));
    return list;
}

/* A member behind the others of an object that has none of that name. */
static void put(tw_json *object, const char *name, tw_json *value)
{
    value->key = tw_str_z(name);
    tw_json_append(object, value);
}

/* Clip time of a key: frames of the clip's own rate from the start of its range. */
static tw_json *make_at(tw_arena *arena, const tw_timeline *timeline, int64_t frame, const twi_otio_clock *clock)
{
    tw_time t = tw_time_add(clock->start, tw_time_frames(frame, timeline->rate));
    bool whole;
    int64_t nearest = tw_time_round(t, clock->rate, &whole);
    double value = whole ? (double)nearest : tw_num_round(tw_time_seconds(t) * tw_rate_fps(clock->rate), PLACES);
    tw_json *at = twi_otio_make(arena, "RationalTime.1");
    bool told = clock->rate_text.len > 0;
    put(at, "rate", told ? tw_json_new_number(arena, clock->rate_text) : decimal(arena, tw_rate_fps(clock->rate)));
    put(at, "value", decimal(arena, value));
    return at;
}

static tw_json *make_key(tw_arena *arena, const tw_timeline *timeline, const tw_framing *f, const tw_key *key,
                         const twi_otio_clock *clock)
{
    tw_window win = tw_geom_key_window(*key, f->squeeze, f->delivery);
    double w = tw_geom_written(key->w);
    tw_json *json = tw_json_new(arena, TW_JSON_OBJECT);
    put(json, "at", make_at(arena, timeline, key->frame, clock));
    put(json, "ease", decimal(arena, key->ease));
    put(json, "frame", decimal(arena, (double)key->frame));
    put(json, "h", decimal(arena, tw_num_round(tw_geom_height(w, f->squeeze, f->delivery), PLACES)));
    put(json, "scale", decimal(arena, tw_geom_scale(w, f->delivery)));
    put(json, "w", decimal(arena, w));
    put(json, "x", decimal(arena, tw_num_round(win.x, PLACES)));
    put(json, "y", decimal(arena, tw_num_round(win.y, PLACES)));
    return json;
}

static void fill(tw_arena *arena, tw_json *dict, const tw_timeline *timeline, const tw_framing *f,
                 const twi_otio_clock *clock)
{
    tw_json *keys = tw_json_new(arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < f->key_count; i++)
        tw_json_append(keys, make_key(arena, timeline, f, &f->keys[i], clock));
    tw_json_set_sorted(arena, dict, "frame", tw_json_new_text(arena, tw_str_z(mode_words[f->mode])));
    tw_json_set_sorted(arena, dict, "interpolation", tw_json_new_text(arena, tw_str_z(interp_words[f->interp])));
    tw_json_set_sorted(arena, dict, "keys", keys);
    tw_json_set_sorted(arena, dict, "size", pixel_pair(arena, f->delivery));
    tw_json_set_sorted(arena, dict, "source_size", pixel_pair(arena, f->source));
    tw_json_set_sorted(arena, dict, "squeeze", decimal(arena, f->squeeze));
    tw_json_set_sorted(arena, dict, "units", tw_json_new_text(arena, TW_STR(UNITS)));
    tw_json_set_sorted(arena, dict, "version", tw_json_new_int(arena, 1));
}

/* Our effect in a list that may be changed: the one there, or a new one behind all others. */
static tw_json *own_effect(tw_arena *arena, tw_json *effects)
{
    tw_json *effect = twi_otio_window_find(effects);
    if (effect == NULL) {
        effect = twi_otio_make(arena, "Effect.1");
        tw_json_append(effects, effect);
        return effect;
    }
    const tw_json *copy = twi_otio_shallow(arena, effect);
    effect->in = copy->in;
    return effect;
}

/* Where a clip that has no effects yet gets them: where the reference library writes them. */
static tw_str before_effects(const tw_json *clip)
{
    if (tw_json_get(clip, "source_range") != NULL)
        return TW_STR("source_range");
    for (const tw_json *m = tw_json_first(clip); m != NULL && m->next != NULL; m = m->next)
        if (tw_str_is(m->next->key, "markers"))
            return m->key;
    return TW_STR("");
}

void twi_otio_window_set(tw_arena *arena, tw_json *object, const tw_timeline *timeline, const tw_item *item,
                         const twi_otio_clock *clock)
{
    const tw_json *before = tw_json_get(object, "effects");
    tw_json *effects = before != NULL ? twi_otio_shallow(arena, before) : tw_json_new(arena, TW_JSON_ARRAY);
    tw_json *effect = own_effect(arena, effects);
    tw_json *metadata = twi_otio_dict(arena, effect, "metadata");
    tw_json *dict = twi_otio_dict(arena, metadata, TWI_OTIO_SPACE);
    fill(arena, dict, timeline, item->framing, clock);
    tw_json_set_sorted(arena, metadata, TWI_OTIO_SPACE, dict);
    twi_otio_set_after(arena, effect, "metadata", metadata, TW_STR("OTIO_SCHEMA"));
    if (tw_json_get(effect, "name") == NULL)
        twi_otio_set_after(arena, effect, "name", tw_json_new_text(arena, TW_STR("")), TW_STR("metadata"));
    tw_json_set_text(arena, effect, "effect_name", TW_STR(TWI_OTIO_WINDOW));
    tw_json_set(arena, effect, "enabled", tw_json_new_bool(arena, true));
    twi_otio_set_after(arena, object, "effects", effects, before_effects(object));
}
