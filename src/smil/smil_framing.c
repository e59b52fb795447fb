/* SPDX-License-Identifier: Apache-2.0
 *
 * The windows of a clip, from its params.
 */
#include "smil_read.h"

#include <math.h>

/* "frame left top width ease" */
static bool read_key(tw_str text, const tw_framing *f, tw_key *key)
{
    double values[5];
    for (int i = 0; i < 5; i++) {
        size_t end = 0;
        while (end < text.len && text.at[end] != ' ')
            end++;
        if (!tw_num_double(tw_str_cut(text, end), &values[i]))
            return false;
        text = tw_str_from(text, end + 1);
    }
    bool sane = values[0] > -4e9 && values[0] < 4e9 && values[3] > 0 && values[4] >= 0;
    for (int i = 1; i < 5; i++)
        sane = sane && fabs(values[i]) <= TW_GEOM_LIMIT;
    if (text.len > 0 || !sane)
        return false;
    key->frame = (int64_t)values[0];
    key->w = values[3];
    key->ease = values[4];
    key->cx = values[1] + key->w / 2;
    key->cy = values[2] + tw_geom_height(key->w, f->squeeze, f->delivery) / 2;
    return true;
}

static bool read_keys(twi_smil_reader *r, const tw_xml_node *node, tw_framing *f)
{
    size_t cap = 0;
    for (const tw_xml_node *p = node->child; p != NULL; p = p->next) {
        if (!tw_str_is(p->name, "param") || !tw_str_is(tw_xml_get(p, "name"), "key"))
            continue;
        f->keys = tw_arena_grow(r->arena, f->keys, f->key_count, &cap, sizeof *f->keys);
        tw_key *key = &f->keys[f->key_count];
        if (!read_key(tw_xml_get(p, "value"), f, key) || (f->key_count > 0 && key->frame <= key[-1].frame)) {
            twi_smil_fault(r, p, 2011, "this key is not \"frame left top width ease\" after the one before",
                           tw_xml_get(p, "value"));
            return false;
        }
        f->key_count++;
    }
    return f->key_count > 0;
}

void twi_smil_framing(twi_smil_reader *r, const tw_xml_node *node, tw_item *item)
{
    tw_str source = twi_smil_param(node, "source-size"), size = twi_smil_param(node, "size"),
           squeeze = twi_smil_param(node, "squeeze");
    if (source.at == NULL)
        return;
    tw_framing *f = TW_NEW(r->arena, tw_framing);
    f->squeeze = 1;
    f->delivery = r->stage;
    bool fine = tw_size_read(source, &f->source) && (size.at == NULL || tw_size_read(size, &f->delivery));
    fine = fine && (squeeze.at == NULL || (tw_num_double(squeeze, &f->squeeze) && f->squeeze > 0));
    if (!fine) {
        twi_smil_fault(r, node, 2011, "the picture sizes of this clip cannot be read", source);
        return;
    }
    tw_str interp = twi_smil_param(node, "interpolation");
    f->mode = tw_str_is(twi_smil_param(node, "frame"), "fit") ? TW_FRAME_FIT : TW_FRAME_FILL;
    f->interp = tw_str_is(interp, "bezier")   ? TW_INTERP_BEZIER
                : tw_str_is(interp, "linear") ? TW_INTERP_LINEAR
                                              : TW_INTERP_EASED;
    if (read_keys(r, node, f))
        item->framing = f;
}
