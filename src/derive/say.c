/* SPDX-License-Identifier: Apache-2.0
 *
 * Decisions in words an editor understands.
 */
#include "derive_internal.h"

#include <math.h>

static const char *side_word(char side)
{
    switch (side) {
    case 'l': return " on the left";
    case 'r': return " on the right";
    case 't': return " at the top";
    case 'b': return " at the bottom";
    default: return "";
    }
}

/* The note a region is of, where another one of the shot has its name; else empty. */
static tw_str note_told(const tw_decision *d, size_t index)
{
    const tw_region *region = d->regions[index];
    bool shared = false;
    for (size_t i = 0; i < d->region_count; i++)
        shared = shared || (i != index && tw_str_eq(d->regions[i]->name, region->name));
    return shared ? region->note->id : TW_STR("");
}

static void add_region(const tw_decision *d, size_t index, tw_buf *out)
{
    if (index >= d->region_count) {
        tw_buf_addz(out, "the subject");
        return;
    }
    const tw_region *region = d->regions[index];
    const tw_str note = note_told(d, index);
    tw_buf_addf(out, "%.*s (%s%s%.*s)", TW_ARG(region->name), region->must ? "must" : "nice",
                note.len > 0 ? ", note " : "", TW_ARG(note));
}

/* A limit below 1 may be passed by what is still made smaller. */
static void add_scale(const tw_path_compromise *c, tw_buf *out)
{
    bool larger = c->px > 1;
    if (c->side == 'h')
        tw_buf_addz(out,
                    larger ? "the hand window enlarges past the limit: " : "the hand window is past the limit: scale ");
    else
        tw_buf_addz(out,
                    larger ? "the source is too small: enlarged " : "the source is too small for the limit: scale ");
    tw_buf_add_fixed(out, c->px, 2);
    tw_buf_addz(out, larger ? " times" : "");
}

tw_str tw_derive_say(tw_arena *arena, const tw_decision *d, const tw_path_compromise *c)
{
    tw_buf say = {.arena = arena};
    switch (c->what) {
    case TW_YIELD_SCALE: add_scale(c, &say); return tw_buf_str(&say);
    case TW_YIELD_WIDER:
        tw_buf_addz(&say, c->side == 's' ? "closer than this would be past the largest scale allowed"
                                         : "the window is wider than asked, to hold everything");
        return tw_buf_str(&say);
    case TW_YIELD_SPEED:
        tw_buf_addz(&say, "moves at up to ");
        tw_buf_add_fixed(&say, c->px, 2);
        tw_buf_addz(&say, " window widths a second to keep up");
        return tw_buf_str(&say);
    case TW_YIELD_HARSH:
        tw_buf_addf(&say, "starts or stops harshly %lld time%s", (long long)c->frames, TW_PLURAL(c->frames));
        return tw_buf_str(&say);
    case TW_YIELD_STEADY:
        if (c->px > 0)
            tw_buf_addf(&say, "only %d %% of the shake could be taken out", (int)(c->px * 100 + 0.5));
        else
            tw_buf_addz(&say, "none of the shake could be taken out");
        return tw_buf_str(&say);
    default: break;
    }
    add_region(d, c->region, &say);
    if (c->what == TW_YIELD_INSET)
        tw_buf_addz(&say, " is nearer to the edge than the inset");
    else if (c->what == TW_YIELD_DROPPED)
        tw_buf_addz(&say, " is let go of");
    else if (c->what == TW_YIELD_NICE)
        tw_buf_addz(&say, " is not held");
    else
        tw_buf_addf(&say, " is cut by up to %lld px%s", (long long)(c->px + 0.5), side_word(c->side));
    tw_buf_addf(&say, " in %lld frame%s", (long long)c->frames, TW_PLURAL(c->frames));
    return tw_buf_str(&say);
}

/* "hands, face and wheel" of the regions that count in this shot. */
static void add_held(const tw_decision *d, tw_buf *out)
{
    bool must = false;
    for (size_t i = 0; i < d->region_count; i++)
        must = must || d->regions[i]->must;
    size_t wanted = 0, said = 0;
    for (size_t i = 0; i < d->region_count; i++)
        wanted += d->regions[i]->must == must;
    for (size_t i = 0; i < d->region_count; i++) {
        if (d->regions[i]->must != must)
            continue;
        if (said > 0)
            tw_buf_addz(out, said + 1 == wanted ? " and " : ", ");
        tw_buf_add(out, d->regions[i]->name);
        const tw_str note = note_told(d, i);
        if (note.len > 0)
            tw_buf_addf(out, " (%.*s)", TW_ARG(note));
        said++;
    }
}

/* The worst of the compromises: what a person should hear first. */
static const tw_path_compromise *worst(const tw_path_result *path)
{
    static const tw_path_yield order[] = {TW_YIELD_CUT,   TW_YIELD_DROPPED, TW_YIELD_SCALE,
                                          TW_YIELD_HARSH, TW_YIELD_SPEED,   TW_YIELD_WIDER,
                                          TW_YIELD_INSET, TW_YIELD_NICE,    TW_YIELD_STEADY};
    for (size_t o = 0; o < TW_COUNT(order); o++)
        for (size_t i = 0; i < path->compromise_count; i++)
            if (path->compromises[i].what == order[o])
                return &path->compromises[i];
    return NULL;
}

/* Does it look still, and moves with the camera's shake only? */
static bool stands(const tw_decision *d)
{
    return d->path.steadied > 0 && !(d->path.peak_speed > 0);
}

static void add_decision(const tw_decision *d, tw_buf *out)
{
    switch (d->path.reason) {
    case TW_PATH_CENTRED: tw_buf_addz(out, "not framed yet: centred"); break;
    case TW_PATH_HAND: tw_buf_addz(out, d->moving ? "by hand, moving" : "by hand"); break;
    case TW_PATH_STEPS:
        tw_buf_addz(out, "steps between holds on ");
        add_held(d, out);
        break;
    case TW_PATH_MOVES:
    case TW_PATH_STILL:
    case TW_PATH_CUTS:
        tw_buf_addz(out, d->moving && !stands(d) ? "follows " : "still on ");
        add_held(d, out);
        break;
    }
    if (d->path.steadied > 0)
        tw_buf_addf(out, ", steadied: up to %lld px, %lld %% of the room", (long long)ceil(d->path.steady_px),
                    (long long)ceil(100 * d->path.steady_margin));
    if (d->path.shaken != TW_SHAKEN_NOT)
        tw_buf_addf(out, ", not steadied: %s",
                    d->path.shaken == TW_SHAKEN_HAND ? "a window is set by hand" : "it is too long");
    if (d->shared)
        tw_buf_addz(out, ", as its set-up");
}

void twi_derive_why(tw_arena *arena, tw_decision *d)
{
    tw_buf why = {.arena = arena};
    switch (d->verdict) {
    case TW_VERDICT_BLACK: tw_buf_addz(&why, "generated picture: nothing to frame"); break;
    case TW_VERDICT_GRAPHIC: tw_buf_addz(&why, "graphic shown whole: rebuild for this shape"); break;
    case TW_VERDICT_UNKNOWN:
        tw_buf_addz(&why, d->source == NULL        ? "no source in the plan matches"
                          : d->source->size.w <= 0 ? "the plan does not give the source's size"
                                                   : "too long to be framed");
        break;
    default:
        if (d->framing != NULL && d->framing->mode == TW_FRAME_FIT)
            tw_buf_addz(&why, "shown whole");
        else
            add_decision(d, &why);
        break;
    }
    const tw_path_compromise *c = worst(&d->path);
    if (c != NULL) {
        tw_buf_addz(&why, "; ");
        tw_buf_add(&why, tw_derive_say(arena, d, c));
    }
    d->why = tw_buf_str(&why);
}
