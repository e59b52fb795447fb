/* SPDX-License-Identifier: Apache-2.0
 *
 * What a document holds that the model does not: another format cannot carry it.
 */
#include "otio_internal.h"

typedef enum kind { EFFECTS, CLIPS, MARKERS, OTHERS, KINDS } kind;

/* Time effects are followed, windows are framings. */
static bool is_carried(const tw_json *effect)
{
    return twi_otio_is_time(effect) || tw_str_is(tw_json_text(tw_json_get(effect, "effect_name")), "tallwide.window");
}

static kind owner_of(const tw_json *object)
{
    const twi_otio_schema *row = twi_otio_schema_of(object);
    return row == NULL                     ? OTHERS
           : row->is == TWI_OTIO_IS_CLIP   ? CLIPS
           : row->is == TWI_OTIO_IS_MARKER ? MARKERS
                                           : OTHERS;
}

/* Reels are carried; what is ours stands elsewhere too. */
static bool is_more(const tw_json *member)
{
    if (tw_str_is(member->key, "tallwide") || twi_otio_is_reel(member))
        return false;
    bool more = !tw_json_is(member, TW_JSON_OBJECT);
    for (const tw_json *m = tw_json_first(member); m != NULL && !more; m = m->next)
        more = !twi_otio_is_reel(m);
    return more;
}

static bool holds_more(const tw_json *metadata)
{
    const tw_json *member = tw_json_is(metadata, TW_JSON_OBJECT) ? tw_json_first(metadata) : NULL;
    while (member != NULL && !is_more(member))
        member = member->next;
    return member != NULL;
}

/* An effect with its metadata is one thing; metadata is not looked into. */
static void count_in(const tw_json *value, size_t counts[KINDS])
{
    const tw_json *metadata = tw_json_get(value, "metadata");
    if (holds_more(metadata))
        counts[owner_of(value)]++;
    for (const tw_json *member = tw_json_first(value); member != NULL; member = member->next) {
        if (member == metadata)
            continue;
        if (!tw_str_is(member->key, "effects") || !tw_json_is(member, TW_JSON_ARRAY)) {
            count_in(member, counts);
            continue;
        }
        for (const tw_json *effect = tw_json_first(member); effect != NULL; effect = effect->next)
            counts[EFFECTS] += !is_carried(effect);
    }
}

void twi_otio_beyond(const tw_timeline *timeline, tw_diags *diags)
{
    static const char *const words[KINDS][2] = {{"effect", "effects"},
                                                {"clip's metadata", "clips' metadata"},
                                                {"marker's metadata", "markers' metadata"},
                                                {"other object's metadata", "other objects' metadata"}};
    const twi_otio_source *source = timeline->origin;
    size_t counts[KINDS] = {0};
    if (source == NULL)
        return;
    count_in(source->doc.root, counts);
    tw_arena *scratch = tw_arena_like(timeline->arena);
    tw_buf text = {.arena = scratch};
    for (size_t i = 0; i < KINDS; i++)
        if (counts[i] > 0)
            tw_buf_addf(&text, "%s%zu %s", text.len > 0 ? ", " : "", counts[i], words[i][counts[i] > 1]);
    if (text.len > 0)
        tw_diag_add(diags, 1343, TW_IN(timeline->file), "only OpenTimelineIO can carry what this file has more: %.*s",
                    TW_ARG(tw_buf_str(&text)));
    tw_arena_free(&scratch);
}
