/* SPDX-License-Identifier: Apache-2.0
 *
 * What leads into a clip and out of it: as our params have it, else the transition that its transIn or transOut names.
 */
#include "smil_read.h"

static int by_id(const void *a, const void *b)
{
    const twi_smil_named *x = a, *y = b;
    return tw_then(tw_str_cmp(x->id, y->id), TW_CMP(x->node->offset, y->node->offset));
}

void twi_smil_transitions(twi_smil_reader *r, const tw_xml_node *head)
{
    size_t cap = 0;
    for (const tw_xml_node *n = head != NULL ? head->child : NULL; n != NULL; n = n->next) {
        tw_str id = tw_xml_get(n, "xml:id");
        if (tw_str_is(n->name, "transition"))
            TW_PUSH(r->arena, r->transitions, r->transition_count, cap) =
                (twi_smil_named){id.at != NULL ? id : tw_xml_get(n, "id"), n};
    }
    TW_SORT(r->transitions, r->transition_count, by_id);
}

static const tw_xml_node *find(const twi_smil_reader *r, tw_str id)
{
    size_t low = 0, high = r->transition_count;
    while (low < high) {
        size_t mid = low + (high - low) / 2;
        if (tw_str_cmp(r->transitions[mid].id, id) < 0)
            low = mid + 1;
        else
            high = mid;
    }
    return low < r->transition_count && tw_str_eq(r->transitions[low].id, id) ? r->transitions[low].node : NULL;
}

/* "wipe; fade": the first that there is. */
static const tw_xml_node *first_of(const twi_smil_reader *r, tw_str list)
{
    const tw_xml_node *found = NULL;
    while (list.len > 0 && found == NULL) {
        size_t end = 0;
        while (end < list.len && list.at[end] != ';')
            end++;
        const tw_str id = tw_str_trim(tw_str_cut(list, end));
        found = id.len > 0 ? find(r, id) : NULL;
        list = tw_str_from(list, end + 1);
    }
    return found;
}

/* One that begins or ends halfway is another thing than a mix from one picture to the next. */
static bool is_whole(const tw_xml_node *transition)
{
    double from = 0, to = 1;
    tw_str start = tw_xml_get(transition, "startProgress"), end = tw_xml_get(transition, "endProgress");
    return (start.at == NULL || (tw_num_double(start, &from) && !(from > 0))) &&
           (end.at == NULL || (tw_num_double(end, &to) && !(to < 1)));
}

/* Into black, or out of it: the colour where none is said. */
static bool is_black(const tw_xml_node *transition)
{
    const tw_str colour = tw_xml_get(transition, "fadeColor");
    return colour.at == NULL || tw_str_ieq(colour, TW_STR("black")) || tw_str_is(colour, "#000") ||
           tw_str_is(colour, "#000000");
}

/* To or from black is a dissolve where nothing stands on that side. */
static tw_str name_of(const tw_xml_node *transition, bool out)
{
    const tw_str type = tw_xml_get(transition, "type"), subtype = tw_xml_get(transition, "subtype");
    if (!tw_str_is(type, "fade"))
        return type;
    bool cross = subtype.len == 0 || tw_str_is(subtype, "crossfade");
    return cross || (out && tw_str_is(subtype, "fadeToColor") && is_black(transition)) ? TW_STR("dissolve") : subtype;
}

/* It takes the first of the clip (the picture before, where there is one, stays for so long), or the last. */
static bool by_name(twi_smil_reader *r, const tw_xml_node *node, bool out, tw_item *item)
{
    tw_str list = tw_xml_get(node, out ? "transOut" : "transIn"), dur;
    const tw_xml_node *transition = first_of(r, list);
    int64_t ms = 1000; /* where none is said */
    if (list.at == NULL || tw_str_is(node->name, "audio"))
        return false;
    dur = transition != NULL ? tw_xml_get(transition, "dur") : list;
    if (transition == NULL || !is_whole(transition) || (dur.at != NULL && !twi_smil_read_clock(dur, &ms)) ||
        tw_time_cmp(twi_smil_frame_at(r, ms), TW_TIME_ZERO) <= 0) {
        twi_smil_pass(r, TWI_SMIL_TRANSITION, node, list);
        return false;
    }
    item->name = name_of(transition, out);
    item->in_offset = out ? twi_smil_frame_at(r, ms) : TW_TIME_ZERO;
    item->out_offset = out ? TW_TIME_ZERO : twi_smil_frame_at(r, ms);
    return true;
}

static bool by_params(twi_smil_reader *r, const tw_xml_node *node, const char *const names[3], tw_item *item)
{
    int64_t in = 0, out = 0;
    item->name = twi_smil_param(node, names[0]);
    if (item->name.at == NULL)
        return false;
    twi_smil_frames(r, node, names[1], &in);
    twi_smil_frames(r, node, names[2], &out);
    item->in_offset = tw_time_frames(in, r->timeline->rate);
    item->out_offset = tw_time_frames(out, r->timeline->rate);
    return true;
}

bool twi_smil_lead_in(twi_smil_reader *r, const tw_xml_node *node, tw_item *item)
{
    static const char *const names[] = {"transition", "transition-in", "transition-out"};
    return by_params(r, node, names, item) || by_name(r, node, false, item);
}

bool twi_smil_lead_out(twi_smil_reader *r, const tw_xml_node *node, tw_item *item)
{
    static const char *const names[] = {"transition-after", "transition-after-in", "transition-after-out"};
    return by_params(r, node, names, item) || by_name(r, node, true, item);
}
