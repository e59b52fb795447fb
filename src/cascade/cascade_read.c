/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/cascade.h>

#include <tallwide/xmlio.h>

#define BROKEN 2191
#define UNKNOWN 2192
#define MOST_NUMBERS 4096 /* in one element */

typedef struct reader {
    tw_arena *arena, *scratch;
    tw_diags *diags;
    tw_xml_doc doc;
    bool failed;
    int w, h;
    tw_cascade_stage *stages;
    tw_cascade_tree *trees;
    tw_cascade_node *nodes;
    float *leaves;
    tw_cascade_feature *features;
    size_t stages_count, trees_count, nodes_count, leaves_count, features_count;
    size_t stages_cap, trees_cap, nodes_cap, leaves_cap, features_cap;
} reader;

#define APPEND(r, what) (&TW_PUSH((r)->arena, (r)->what, (r)->what##_count, (r)->what##_cap))

static void fault(reader *r, const tw_xml_node *node, const char *what)
{
    const tw_place place = tw_xml_place(&r->doc, node);
    if (!r->failed) /* what follows a first fault is noise */
        tw_diag_add(r->diags, BROKEN, &place, "%s", what);
    r->failed = true;
}

static const tw_xml_node *child(const tw_xml_node *node, const char *name)
{
    for (const tw_xml_node *c = node->child; c != NULL; c = c->next) {
        if (tw_str_is(c->name, name))
            return c;
    }
    return NULL;
}

static const tw_xml_node *need(reader *r, const tw_xml_node *node, const char *name)
{
    const tw_xml_node *c = child(node, name);
    if (c == NULL && !r->failed) {
        const tw_place place = tw_xml_place(&r->doc, node);
        tw_diag_add(r->diags, BROKEN, &place, "<%.*s> has no <%s>", TW_ARG(node->name), name);
        r->failed = true;
    }
    return c;
}

/* ---- numbers --------------------------------------------------------------------------------------------- */

static bool blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* The next word of the text, which is shortened by it; empty at the end. */
static tw_str word(tw_str *text)
{
    size_t i = 0, end;
    while (i < text->len && blank(text->at[i]))
        i++;
    for (end = i; end < text->len && !blank(text->at[end]);)
        end++;
    const tw_str w = tw_str_cut(tw_str_from(*text, i), end - i);
    *text = tw_str_from(*text, end);
    return w;
}

/* All numbers of an element, separated by blanks; NULL where something else stands. */
static const double *numbers(reader *r, const tw_xml_node *node, size_t *count)
{
    double *out = NULL;
    size_t cap = 0;
    *count = 0;
    if (node == NULL)
        return NULL;
    tw_str text = node->text;
    for (tw_str w = word(&text); w.len > 0; w = word(&text)) {
        double value;
        /* whole numbers are written with a point at the end: "-1." */
        if (!tw_num_double(w.at[w.len - 1] == '.' ? tw_str_cut(w, w.len - 1) : w, &value))
            return fault(r, node, "a number cannot be read"), NULL;
        if (*count == MOST_NUMBERS)
            return fault(r, node, "too many numbers in one element"), NULL;
        TW_PUSH(r->scratch, out, *count, cap) = value;
    }
    if (out == NULL)
        fault(r, node, "numbers are missing");
    return out;
}

/* A whole number between two bounds; `least` and a finding where it is not. */
static int whole(reader *r, const tw_xml_node *node, double value, int least, int most)
{
    if (value >= least && value <= most && value == (double)(int)value)
        return (int)value;
    fault(r, node, "a number is out of range");
    return least;
}

static int one_whole(reader *r, const tw_xml_node *parent, const char *name, int least, int most)
{
    size_t count;
    const tw_xml_node *node = need(r, parent, name);
    const double *value = numbers(r, node, &count);
    return value != NULL ? whole(r, node, value[0], least, most) : least;
}

/* ---- features -------------------------------------------------------------------------------------------- */

static bool inside(const reader *r, const tw_cascade_rect *b, bool tilted)
{
    if (tilted)
        return b->x - b->h >= 0 && b->x + b->w <= r->w && b->y + b->w + b->h <= r->h;
    return b->x + b->w <= r->w && b->y + b->h <= r->h;
}

static void read_rect(reader *r, const tw_xml_node *node, tw_cascade_feature *f)
{
    size_t count;
    const double *v = numbers(r, node, &count);
    if (v == NULL)
        return;
    if (count != 5 || f->count == TW_CASCADE_RECTS) {
        fault(r, node, "a feature has up to three rectangles of x, y, width, height and weight");
        return;
    }
    const tw_cascade_rect b = {(int16_t)whole(r, node, v[0], 0, r->w), (int16_t)whole(r, node, v[1], 0, r->h),
                               (int16_t)whole(r, node, v[2], 1, r->w), (int16_t)whole(r, node, v[3], 1, r->h),
                               (float)v[4]};
    if (!r->failed && !inside(r, &b, f->tilted))
        fault(r, node, "this rectangle reaches out of the window");
    f->rects[f->count++] = b;
}

static void read_features(reader *r, const tw_xml_node *list)
{
    for (const tw_xml_node *n = list->child; n != NULL && !r->failed; n = n->next) {
        const tw_xml_node *rects = need(r, n, "rects");
        tw_cascade_feature *f = APPEND(r, features);
        *f = (tw_cascade_feature){.tilted = child(n, "tilted") != NULL && one_whole(r, n, "tilted", 0, 1) == 1};
        for (const tw_xml_node *b = rects != NULL ? rects->child : NULL; b != NULL && !r->failed; b = b->next)
            read_rect(r, b, f);
        if (f->count == 0)
            fault(r, n, "a feature without rectangles");
    }
}

/* ---- stages ---------------------------------------------------------------------------------------------- */

/* A node leads to a later node of its tree or to a leaf, so that every walk ends. */
static int32_t way(reader *r, const tw_xml_node *node, double value, size_t self, size_t nodes, size_t leaves)
{
    const int to = whole(r, node, value, -(int)leaves + 1, (int)nodes - 1);
    if (to > 0 && (size_t)to <= self)
        fault(r, node, "a node leads back");
    return to;
}

static void read_tree(reader *r, const tw_xml_node *node)
{
    size_t nodes, leaves;
    const tw_xml_node *inner = need(r, node, "internalNodes");
    const double *n = numbers(r, inner, &nodes), *l = numbers(r, need(r, node, "leafValues"), &leaves);
    if (n == NULL || l == NULL)
        return;
    if (nodes % 4 != 0 || r->features_count == 0) {
        fault(r, inner, "a node has four numbers: left, right, feature, threshold");
        return;
    }
    *APPEND(r, trees) = (tw_cascade_tree){(uint32_t)r->nodes_count, (uint32_t)r->leaves_count};
    for (size_t i = 0; i < nodes / 4; i++, n += 4) {
        tw_cascade_node *out = APPEND(r, nodes);
        *out = (tw_cascade_node){way(r, inner, n[0], i, nodes / 4, leaves), way(r, inner, n[1], i, nodes / 4, leaves),
                                 (uint32_t)whole(r, inner, n[2], 0, (int)r->features_count - 1), (float)n[3]};
    }
    for (size_t i = 0; i < leaves; i++)
        *APPEND(r, leaves) = (float)l[i];
}

static void read_stages(reader *r, const tw_xml_node *list)
{
    for (const tw_xml_node *n = list->child; n != NULL && !r->failed; n = n->next) {
        size_t count;
        const double *threshold = numbers(r, need(r, n, "stageThreshold"), &count);
        const tw_xml_node *trees = need(r, n, "weakClassifiers");
        const size_t first = r->trees_count;
        for (const tw_xml_node *t = trees != NULL ? trees->child : NULL; t != NULL && !r->failed; t = t->next)
            read_tree(r, t);
        if (r->trees_count == first)
            fault(r, n, "a stage without trees");
        if (threshold != NULL)
            *APPEND(r, stages) =
                (tw_cascade_stage){(uint32_t)first, (uint32_t)(r->trees_count - first), (float)threshold[0]};
    }
    if (r->stages_count == 0)
        fault(r, list, "a cascade without stages");
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

static bool right_kind(reader *r, const tw_xml_node *cascade)
{
    const tw_xml_node *stage, *feature;
    const tw_place place = tw_xml_place(&r->doc, cascade != NULL ? cascade : r->doc.root);
    if (cascade == NULL) {
        tw_diag_add(r->diags, UNKNOWN, &place, "this file holds no cascade of type opencv-cascade-classifier");
        return false;
    }
    if ((stage = need(r, cascade, "stageType")) == NULL || (feature = need(r, cascade, "featureType")) == NULL)
        return false;
    if (!tw_str_is(tw_str_trim(stage->text), "BOOST") || !tw_str_is(tw_str_trim(feature->text), "HAAR")) {
        tw_diag_add(r->diags, UNKNOWN, &place,
                    "a cascade of %.*s stages and %.*s features is not read, only BOOST and HAAR",
                    TW_ARG(tw_str_cut(stage->text, 40)), TW_ARG(tw_str_cut(feature->text, 40)));
        return false;
    }
    return true;
}

static const tw_xml_node *find_cascade(const tw_xml_node *root)
{
    for (const tw_xml_node *n = root->child; n != NULL; n = n->next) {
        if (tw_str_is(tw_xml_get(n, "type_id"), "opencv-cascade-classifier"))
            return n;
    }
    return NULL;
}

static void hand_over(const reader *r, tw_cascade *out)
{
    *out = (tw_cascade){.w = r->w,
                        .h = r->h,
                        .stages = r->stages,
                        .trees = r->trees,
                        .nodes = r->nodes,
                        .leaves = r->leaves,
                        .features = r->features,
                        .stage_count = r->stages_count,
                        .tree_count = r->trees_count,
                        .node_count = r->nodes_count,
                        .leaf_count = r->leaves_count,
                        .feature_count = r->features_count};
}

static tw_status read_all(reader *r, tw_str bytes, tw_str file, tw_cascade *out)
{
    const tw_status status = tw_xml_read(r->scratch, bytes, file, r->diags, &r->doc);
    if (status != TW_OK)
        return status;
    const tw_xml_node *cascade = find_cascade(r->doc.root);
    if (!right_kind(r, cascade))
        return TW_ERR_SYNTAX;
    r->w = one_whole(r, cascade, "width", 3, TW_CASCADE_WINDOW);
    r->h = one_whole(r, cascade, "height", 3, TW_CASCADE_WINDOW);
    const tw_xml_node *features = need(r, cascade, "features"), *stages = need(r, cascade, "stages");
    if (!r->failed)
        read_features(r, features);
    if (!r->failed)
        read_stages(r, stages);
    if (r->failed)
        return TW_ERR_SEMANTIC;
    hand_over(r, out);
    return TW_OK;
}

tw_status tw_cascade_read(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_cascade *out)
{
    reader r = {.arena = arena, .scratch = tw_arena_like(arena), .diags = diags};
    const tw_status status = read_all(&r, bytes, file, out);
    tw_arena_free(&r.scratch);
    return status;
}
