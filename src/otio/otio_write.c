/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* A derived document is the master's tree with some objects changed. The way from the root to each of them is copied,
 * one node per member passed; all else is shared with the master, which stays as it is. */

/* ---- small changes to trees ------------------------------------------------------------------------------ */

static tw_json *node_copy(tw_arena *arena, const tw_json *node)
{
    tw_json *copy = TW_NEW(arena, tw_json);
    *copy = *node;
    copy->next = NULL;
    return copy;
}

/* A list or object with nothing in it yet. */
static tw_json *node_alone(tw_arena *arena, const tw_json *node)
{
    tw_json *copy = node_copy(arena, node);
    copy->in = (tw_json_chain){NULL, NULL};
    copy->count = 0;
    return copy;
}

tw_json *twi_otio_shallow(tw_arena *arena, const tw_json *value)
{
    tw_json *copy = node_alone(arena, value);
    for (const tw_json *child = tw_json_first(value); child != NULL; child = child->next)
        tw_json_append(copy, node_copy(arena, child));
    return copy;
}

void twi_otio_set_after(tw_arena *arena, tw_json *object, const char *name, tw_json *value, tw_str after)
{
    tw_json *before = tw_json_get_str(object, after);
    if (before == NULL || before->next == NULL || tw_json_get(object, name) != NULL) {
        tw_json_set(arena, object, name, value);
        return;
    }
    value->key = tw_arena_dup(arena, tw_str_z(name));
    value->next = before->next;
    before->next = value;
    object->count++;
}

tw_json *twi_otio_dict(tw_arena *arena, const tw_json *object, const char *name)
{
    const tw_json *old = tw_json_get(object, name);
    return tw_json_is(old, TW_JSON_OBJECT) ? twi_otio_shallow(arena, old) : tw_json_new(arena, TW_JSON_OBJECT);
}

tw_json *twi_otio_make(tw_arena *arena, const char *schema)
{
    tw_json *object = tw_json_new(arena, TW_JSON_OBJECT);
    tw_json_set_text(arena, object, "OTIO_SCHEMA", tw_str_z(schema));
    return object;
}

/* ---- what changes ---------------------------------------------------------------------------------------- */

typedef struct patch {
    uint32_t offset;     /* of the object in the input: names it */
    const tw_item *item; /* NULL: the timeline's own object */
} patch;

typedef struct patching {
    tw_arena *arena;
    const tw_timeline *timeline;
    tw_diags *diags;
    patch *at;
    size_t count, cap, next;
} patching;

static void add_patch(patching *p, uint32_t offset, const tw_item *item)
{
    TW_PUSH(p->arena, p->at, p->count, p->cap) = (patch){offset, item};
}

static bool note_item(void *context, const tw_track *track, const tw_item *item)
{
    (void)track;
    const twi_otio_origin *origin = item->origin;
    if (item->kind == TW_ITEM_CLIP && item->framing != NULL && origin != NULL)
        add_patch(context, origin->object->offset, item);
    return true;
}

static int by_offset(const void *a, const void *b)
{
    const patch *x = a, *y = b;
    return TW_CMP(x->offset, y->offset);
}

static bool same_framing(const tw_framing *a, const tw_framing *b)
{
    if (a == b)
        return true;
    if (a->key_count != b->key_count || a->mode != b->mode || a->interp != b->interp)
        return false;
    for (size_t i = 0; i < a->key_count; i++) {
        const tw_key *x = &a->keys[i], *y = &b->keys[i];
        if (x->frame != y->frame || x->ease < y->ease || x->ease > y->ease || !tw_key_same_place(x, y))
            return false;
    }
    return true;
}

/* Files that write a shared object once can hold one framing for it, not one per use. */
static void unite(patching *p)
{
    size_t kept = 0;
    for (size_t i = 0; i < p->count; i++) {
        const patch *last = kept > 0 ? &p->at[kept - 1] : NULL;
        if (last == NULL || last->offset != p->at[i].offset) {
            p->at[kept++] = p->at[i];
            continue;
        }
        if (!same_framing(last->item->framing, p->at[i].item->framing))
            tw_diag_add(
                p->diags, 1333, &p->at[i].item->place,
                "clip \"%.*s\" is one object used several times in this file: the first use's framing holds for all",
                TW_ARG(p->at[i].item->name));
    }
    p->count = kept;
}

/* ---- the copied way -------------------------------------------------------------------------------------- */

static twi_otio_clock clock_of(const tw_timeline *timeline, const tw_item *item)
{
    const twi_otio_origin *origin = item->origin;
    twi_otio_clock clock = {.start = origin->start, .rate = timeline->rate};
    double fps = 0;
    if (origin->rate != NULL && tw_json_double(origin->rate, &fps) && tw_rate_snap(fps, &clock.rate, NULL))
        clock.rate_text = origin->rate->text;
    return clock;
}

static void apply(const patching *p, const patch *change, tw_json *object)
{
    if (change->item == NULL) {
        twi_otio_stamp_set(p->arena, object, p->timeline->stamp);
        return;
    }
    const twi_otio_clock clock = clock_of(p->timeline, change->item);
    twi_otio_window_set(p->arena, object, p->timeline, change->item, &clock);
}

/* The offset behind a child that may hold something to change; what was put in newly does not. */
static uint32_t stop_of(const tw_json *child, uint32_t end)
{
    const tw_json *next = child->next;
    while (next != NULL && next->offset == UINT32_MAX)
        next = next->next;
    return next != NULL ? next->offset : end;
}

/* A copy of the value whose text ends before `end`, with what lies in it changed. Depth is that of the file. */
static tw_json *changed(patching *p, const tw_json *value, uint32_t end)
{
    const patch *own = p->at[p->next].offset == value->offset ? &p->at[p->next++] : NULL;
    tw_json *copy = node_alone(p->arena, value);
    for (const tw_json *child = tw_json_first(value); child != NULL; child = child->next) {
        uint32_t stop = stop_of(child, end);
        bool inside = p->next < p->count && p->at[p->next].offset < stop;
        tw_json_append(copy, inside ? changed(p, child, stop) : node_copy(p->arena, child));
    }
    if (own != NULL)
        apply(p, own, copy);
    return copy;
}

/* A value of one document beside that of another, both with the offsets behind their texts. */
static bool same_bytes(const tw_json_doc *a, const tw_json *x, uint32_t x_end, const tw_json_doc *b, const tw_json *y,
                       uint32_t y_end)
{
    const tw_str s = {a->bytes.at + x->offset, (x_end < a->bytes.len ? x_end : a->bytes.len) - x->offset};
    const tw_str t = {b->bytes.at + y->offset, (y_end < b->bytes.len ? y_end : b->bytes.len) - y->offset};
    return tw_str_eq(s, t);
}

/* Is `other`, in a document of that name, what `changed` makes of the value? This saves memory, not time: each object
 * that changes is made alone, looked at and let go, where the whole document made anew would be the largest thing that
 * `fork` holds. What is written with the same bytes need not be looked at value by value. */
static bool becomes(patching *p, const tw_json *value, uint32_t end, const tw_json_doc *doc, const tw_json *other,
                    uint32_t other_end)
{
    const twi_otio_source *source = p->timeline->origin;
    if (value->offset == UINT32_MAX)
        return tw_json_identical(value, other);
    if (p->next == p->count || p->at[p->next].offset >= end)
        return same_bytes(&source->doc, value, end, doc, other, other_end) || tw_json_identical(value, other);
    patching here = *p;
    here.arena = tw_arena_like(p->arena);
    if (p->at[p->next].offset == value->offset) {
        tw_json *copy = twi_otio_shallow(here.arena, value);
        apply(&here, &p->at[here.next++], copy);
        value = copy;
    }
    const tw_json *x = tw_json_first(value), *y = tw_json_first(other);
    bool same = value->kind == other->kind && value->count == other->count;
    for (; same && x != NULL && y != NULL; x = x->next, y = y->next)
        same = tw_str_eq(x->key, y->key) && becomes(&here, x, stop_of(x, end), doc, y, stop_of(y, other_end));
    p->next = here.next;
    tw_arena_free(&here.arena);
    return same;
}

/* What is to change, in the order of the document. */
static patching patches(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags)
{
    const twi_otio_source *source = timeline->origin;
    patching p = {.arena = arena, .timeline = timeline, .diags = diags};
    if (timeline->stamp != NULL)
        add_patch(&p, source->chosen->offset, NULL);
    tw_timeline_walk(timeline, note_item, &p);
    TW_SORT(p.at, p.count, by_offset);
    unite(&p);
    return p;
}

/* ---- the format's two calls ------------------------------------------------------------------------------ */

size_t twi_otio_parts(const tw_timeline *timeline)
{
    (void)timeline;
    return 1;
}

static bool has_document(const tw_timeline *timeline)
{
    return timeline->format == &tw_format_otio && timeline->origin != NULL;
}

/* What is written for the timeline. */
static const tw_json *document_of(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags)
{
    if (!has_document(timeline))
        return twi_otio_new(arena, timeline, diags);
    const twi_otio_source *source = timeline->origin;
    patching p = patches(arena, timeline, diags);
    return p.count > 0 ? changed(&p, source->doc.root, UINT32_MAX) : source->doc.root;
}

/* Losses are told when the file is written. */
bool twi_otio_made_from(tw_arena *arena, const tw_timeline *timeline, const tw_timeline *written)
{
    const twi_otio_source *source = timeline->origin, *other = written->origin;
    tw_diags *losses = tw_diags_new(arena);
    if (other == NULL)
        return false;
    if (!has_document(timeline))
        return twi_otio_is_new(arena, timeline, other->doc.root);
    patching p = patches(arena, timeline, losses);
    return becomes(&p, source->doc.root, UINT32_MAX, &other->doc, other->doc.root, UINT32_MAX);
}

tw_status twi_otio_write(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                         tw_diags *diags, tw_buf *out)
{
    (void)part;
    (void)options;
    const tw_json_style style = {.indent = 4, .final_newline = true};
    size_t errors = tw_diags_count(diags, TW_ERROR);
    tw_json_write(document_of(arena, timeline, diags), &style, out);
    return tw_diags_count(diags, TW_ERROR) == errors ? TW_OK : TW_ERR_SEMANTIC;
}
