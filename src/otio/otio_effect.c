/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#include <math.h>

/* What the enabled time effects of an item come to. */
typedef struct bend {
    double scalar;
    size_t count;
    const tw_json *last;
    bool variable;
} bend;

static void add_warp(twi_otio *o, const tw_json *effect, const twi_otio_schema *row, bend *b)
{
    const tw_json *number = tw_json_get(effect, "time_scalar");
    double scalar = 0;
    if (!tw_json_double(number, &scalar) || !isfinite(scalar) || fabs(scalar) > 1e6) {
        twi_otio_say(o, 1305, number, "a time_scalar of %.*s is no speed", TW_ARG(tw_json_text(number)));
        return;
    }
    b->scalar *= row->is == TWI_OTIO_IS_FREEZE ? 0 : scalar;
    b->count++;
    b->last = effect;
}

static void read_effect(twi_otio *o, tw_json *effect, bend *b)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, &effect, TWI_OTIO_EFFECT, "an effect", &row))
        return;
    if (row == NULL) {
        twi_otio_say(o, 1313, effect, "%s is an effect nobody knows: kept as it is, and not followed",
                     twi_otio_what(o->arena, effect));
        return;
    }
    if (!twi_otio_bool(effect, "enabled", true))
        return;
    if (row->is == TWI_OTIO_IS_WARP || row->is == TWI_OTIO_IS_FREEZE)
        add_warp(o, effect, row, b);
    if (row->is != TWI_OTIO_IS_TIME_EFFECT)
        return;
    b->variable = true;
    twi_otio_say(o, 1326, effect,
                 "the time effect \"%.*s\" bends time in a way the file does not tell: framing goes by "
                 "normal speed",
                 TW_ARG(twi_otio_text(effect, "effect_name")));
}

bool twi_otio_is_time(const tw_json *effect)
{
    const twi_otio_schema *row = twi_otio_schema_of(effect);
    return row != NULL &&
           (row->is == TWI_OTIO_IS_TIME_EFFECT || row->is == TWI_OTIO_IS_WARP || row->is == TWI_OTIO_IS_FREEZE);
}

bool twi_otio_bends(const tw_json *object)
{
    const tw_json *effects = tw_json_get(object, "effects");
    const tw_json *effect = tw_json_is(effects, TW_JSON_ARRAY) ? tw_json_first(effects) : NULL;
    while (effect != NULL && !(twi_otio_is_time(effect) && twi_otio_bool(effect, "enabled", true)))
        effect = effect->next;
    return effect != NULL;
}

static void say_bend(twi_otio *o, const bend *b, const tw_item *item)
{
    tw_buf speed = {.arena = o->arena};
    tw_buf_add_double(&speed, b->scalar);
    if (b->count > 1)
        twi_otio_say(o, 1321, b->last, "%zu time effects on \"%.*s\": they multiply to a speed of %.*s", b->count,
                     TW_ARG(item->name), TW_ARG(tw_buf_str(&speed)));
    if (b->scalar < 0)
        twi_otio_say(o, 1320, b->last,
                     "\"%.*s\" plays backwards: the start of its range is taken for the first frame "
                     "shown",
                     TW_ARG(item->name));
}

tw_time twi_otio_media_used(tw_time dur, tw_rate rate, double scalar)
{
    if (scalar >= 1 && scalar <= 1)
        return dur;
    if (fabs(scalar) < 1e-9)
        return tw_time_frames(1, rate);
    tw_time used;
    bool whole;
    return tw_time_snap(tw_time_seconds(dur) * tw_rate_fps(rate) * fabs(scalar), rate, &used, &whole) &&
                   twi_otio_short(used)
               ? used
               : dur;
}

void twi_otio_speed(twi_otio *o, tw_json *object, tw_item *item)
{
    const tw_json *effects = tw_json_get(object, "effects");
    if (!tw_json_is(effects, TW_JSON_ARRAY) || effects->count == 0)
        return;
    bend b = {.scalar = 1};
    for (tw_json *effect = tw_json_first(effects); effect != NULL; effect = effect->next)
        read_effect(o, effect, &b);
    item->variable_speed = b.variable;
    if (b.count == 0)
        return;
    item->speed = b.scalar;
    if (item->has_source)
        item->source.dur = twi_otio_media_used(item->source.dur, item->source_rate, b.scalar);
    say_bend(o, &b, item);
}
