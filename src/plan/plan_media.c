/* SPDX-License-Identifier: Apache-2.0
 *
 * The files of a source: read from a plan, written into a starter plan.
 */
#include "plan_internal.h"

#define MOST_FRAMES ((int64_t)1 << 40)

/* ---- reading --------------------------------------------------------------------------------------------- */

static void read_file(twi_plan_job *job, const tw_source *source, const tw_json *json, tw_source_media *m)
{
    const tw_json *start = tw_json_get(json, "start"), *frames = tw_json_get(json, "frames");
    *m = (tw_source_media){
        .file = twi_plan_text(json, "file"),
        .reel = twi_plan_text(json, "reel"),
        .size = twi_plan_size(tw_json_get(json, "size")),
        .proxy = twi_plan_flag(json, "proxy", false),
        .json = json,
    };
    const twi_clock clock = twi_plan_media_clock(job, source, m->reel.len > 0 ? m->reel : source->reel);
    m->has_start = tw_json_is(start, TW_JSON_STRING) && twi_plan_time(job, &clock, start, &m->start);
    if (tw_json_int(frames, &m->frames) && (m->frames < 1 || m->frames > MOST_FRAMES)) {
        twi_plan_tell(job, 1505, frames, "\"frames\" must be a whole number above 0");
        m->frames = 0;
    }
}

void twi_plan_media(twi_plan_job *job)
{
    for (size_t i = 0; i < job->plan->source_count; i++) {
        tw_source *s = &job->plan->sources[i];
        const tw_json *json;
        size_t count = twi_plan_list(s->json, "media", &json);
        if (count == 0)
            continue;
        s->media = TW_NEW_N(job->arena, tw_source_media, count);
        for (; json != NULL; json = json->next)
            if (json->kind == TW_JSON_OBJECT)
                read_file(job, s, json, &s->media[s->media_count++]);
    }
}

/* ---- writing --------------------------------------------------------------------------------------------- */

tw_json *twi_plan_new_size(tw_arena *arena, tw_size size)
{
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    tw_json_append(list, tw_json_new_int(arena, size.w));
    tw_json_append(list, tw_json_new_int(arena, size.h));
    return list;
}

static tw_json *file_object(tw_arena *arena, const tw_source_media *m, tw_rate rate, bool drop)
{
    tw_json *object = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, object, "file", m->file);
    if (m->has_start)
        tw_json_set_text(arena, object, "start", tw_tc_text(arena, m->start, rate, drop));
    if (m->frames > 0)
        tw_json_set(arena, object, "frames", tw_json_new_int(arena, m->frames));
    if (m->size.w > 0)
        tw_json_set(arena, object, "size", twi_plan_new_size(arena, m->size));
    if (m->proxy)
        tw_json_set(arena, object, "proxy", tw_json_new_bool(arena, true));
    return object;
}

void twi_plan_set_media(tw_arena *arena, tw_json *object, const tw_source *source, tw_rate rate, bool drop)
{
    if (source->media_count == 0)
        return;
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < source->media_count; i++)
        tw_json_append(list, file_object(arena, &source->media[i], rate, drop));
    tw_json_set(arena, object, "media", list);
}
