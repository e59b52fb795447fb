/* SPDX-License-Identifier: Apache-2.0
 *
 * What a SMIL file holds that is not taken into the model, and so not written again: told, counted.
 */
#include "smil_read.h"

void twi_smil_pass(twi_smil_reader *r, twi_smil_passed what, const tw_xml_node *node, tw_str name)
{
    if (r->passed[what].count++ == 0) {
        r->passed[what].node = node;
        r->passed[what].name = name;
    }
}

/* ---- the head -------------------------------------------------------------------------------------------- */

/* Pixels: "640", "640px"; false for "auto", which is as if nothing were said, and for what is none. */
static bool read_pixels(tw_str length, double *value)
{
    size_t digits = 0;
    while (digits < length.len && ((length.at[digits] >= '0' && length.at[digits] <= '9') || length.at[digits] == '.'))
        digits++;
    return tw_num_double(tw_str_cut(length, digits), value);
}

static bool is_unsaid(tw_str length)
{
    return length.at == NULL || tw_str_is(length, "auto");
}

static bool is_zero(tw_str length)
{
    double value;
    return is_unsaid(length) || (read_pixels(length, &value) && !(value > 0));
}

static bool is_whole(tw_str length, tw_str stage)
{
    double value, all;
    bool share = length.len > 0 && length.at[length.len - 1] == '%';
    return is_unsaid(length) || tw_str_is(length, "100%") ||
           (!share && read_pixels(length, &value) && read_pixels(stage, &all) && value >= all && value <= all);
}

/* Regions that do not fill the stage put pictures elsewhere than they are framed for. */
static void look_at_layout(twi_smil_reader *r, const tw_xml_node *layout)
{
    tw_str width = {NULL, 0}, height = {NULL, 0};
    for (const tw_xml_node *n = layout->child; n != NULL; n = n->next) {
        if (tw_str_is(n->name, "root-layout")) {
            width = tw_xml_get(n, "width");
            height = tw_xml_get(n, "height");
        }
        bool fills = is_whole(tw_xml_get(n, "width"), width) && is_whole(tw_xml_get(n, "height"), height) &&
                     is_zero(tw_xml_get(n, "left")) && is_zero(tw_xml_get(n, "top")) &&
                     is_zero(tw_xml_get(n, "right")) && is_zero(tw_xml_get(n, "bottom"));
        if (tw_str_is(n->name, "region") && !fills)
            twi_smil_pass(r, TWI_SMIL_REGION, n, tw_xml_get(n, "xml:id"));
    }
}

void twi_smil_look_at_head(twi_smil_reader *r, const tw_xml_node *head)
{
    static const char *const ours[] = {"generator", "title",  "edit-rate", "drop-frame", "start",
                                       "delivery",  "master", "plan",      NULL};
    for (const tw_xml_node *n = head != NULL ? head->child : NULL; n != NULL; n = n->next) {
        if (tw_str_is(n->name, "layout"))
            look_at_layout(r, n);
        else if (tw_str_is(n->name, "metadata"))
            twi_smil_pass(r, TWI_SMIL_META, n, n->name);
        else if (tw_str_is(n->name, "meta") && !twi_smil_one_of(tw_xml_get(n, "name"), ours))
            twi_smil_pass(r, TWI_SMIL_META, n, tw_xml_get(n, "name"));
    }
}

/* ---- clips ----------------------------------------------------------------------------------------------- */

static const char *const params[] = {"event",
                                     "reel",
                                     "record-in",
                                     "record-out",
                                     "source-rate",
                                     "source-in",
                                     "source-frames",
                                     "source-drop",
                                     "speed",
                                     "enabled",
                                     "transition",
                                     "transition-in",
                                     "transition-out",
                                     "transition-after",
                                     "transition-after-in",
                                     "transition-after-out",
                                     "frame",
                                     "interpolation",
                                     "size",
                                     "source-size",
                                     "squeeze",
                                     "key",
                                     NULL};

/* Also those that time goes by, and names that only the file itself uses. */
static const char *const attributes[] = {
    "xml:id", "id",    "class", "type",    "title",       "src",        "region",      "clipBegin", "clipEnd",
    "dur",    "begin", "end",   "fill",    "repeatCount", "repeatDur",  "transIn",     "transOut",  "panZoom",
    "min",    "max",   "speed", "endsync", "accelerate",  "decelerate", "autoReverse", NULL};

static const char *const moves[] = {"animate", "set", "animateMotion", "animateColor", "animateTransform", NULL};

void twi_smil_look_at_clip(twi_smil_reader *r, const tw_xml_node *node, bool framed)
{
    bool moved = tw_xml_get(node, "panZoom").at != NULL;
    for (size_t i = 0; i < node->attr_count; i++)
        if (!twi_smil_one_of(node->attrs[i].name, attributes))
            twi_smil_pass(r, TWI_SMIL_ATTRIBUTE, node, node->attrs[i].name);
    for (const tw_xml_node *n = node->child; n != NULL; n = n->next) {
        if (twi_smil_one_of(n->name, moves))
            moved = true;
        else if (!tw_str_is(n->name, "param"))
            twi_smil_pass(r, TWI_SMIL_ELEMENT, n, n->name);
        else if (!twi_smil_one_of(tw_xml_get(n, "name"), params))
            twi_smil_pass(r, TWI_SMIL_PARAM, n, tw_xml_get(n, "name"));
    }
    if (moved && !framed)
        twi_smil_pass(r, TWI_SMIL_MOVE, node, tw_xml_get(node, "src"));
}

/* ---- telling --------------------------------------------------------------------------------------------- */

void twi_smil_tell_passed(twi_smil_reader *r)
{
    static const struct {
        const char *noun, *fate;
    } rows[TWI_SMIL_PASSED] = {
        [TWI_SMIL_MOVE] = {"clip", "with panZoom or animation, which are not taken for a framing"},
        [TWI_SMIL_REGION] = {"region", "smaller than the stage, or beside it, whose place is not kept"},
        [TWI_SMIL_TRANSITION] = {"transition", "not defined, or out of a clip right before another: not followed"},
        [TWI_SMIL_PARAM] = {"param", "of another program, not kept"},
        [TWI_SMIL_ATTRIBUTE] = {"attribute", "of clips, not about time, which are not kept"},
        [TWI_SMIL_META] = {"meta element", "in the head, not kept"},
        [TWI_SMIL_ELEMENT] = {"element", "in a clip, not kept"},
    };
    for (size_t i = 0; i < TWI_SMIL_PASSED; i++) {
        if (r->passed[i].count == 0)
            continue;
        const tw_place place = tw_xml_place(&r->doc, r->passed[i].node);
        tw_diag_add(r->diags, 2016, &place, "%zu %s%s %s (here \"%.*s\")", r->passed[i].count, rows[i].noun,
                    TW_PLURAL(r->passed[i].count), rows[i].fate, TW_ARG(tw_str_cut(r->passed[i].name, 80)));
    }
}
