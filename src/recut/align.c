/* SPDX-License-Identifier: Apache-2.0
 *
 * Two lists of shots, aligned in order at the least price; then, among what is left, shots that moved.
 *
 * Only pairs of the same material with overlapping frames can be linked, and of those there are few: so the cheapest
 * alignment is found as the heaviest chain of links rather than in a table of all pairs. Leaving every shot alone costs
 * TW_PRICE_ALONE each; a link saves part of that. In the order of the old shots, a tree of prefix maxima over the new
 * ones (Fenwick 1994) gives for each link the best chain that ends before it: O(links x log). A split or joined shot
 * is a group of links in one row or one column that grows link by link, since its price is a sum over head, pieces
 * and tail.
 */
#include "recut_internal.h"

#define NONE UINT32_MAX
#define LINKS_WANTED ((size_t)4 << 20) /* over a whole alignment; candidates of one shot are fewer in longer ones */
#define LEAST_CANDIDATES 4u

typedef enum mode { ONE, SPLIT, JOIN } mode;

typedef struct tie {
    uint32_t i, j;
    int32_t head, tail; /* prices */
    bool retimed;
    uint8_t mode;                    /* how the best group that ends here is made */
    int64_t open, split, join, best; /* savings: group begun here; grown along the row, the column; closed here */
    uint32_t before, split_from, join_from, column; /* links: chain before `open`, grown from; the last in the column */
} tie;

typedef struct row {
    uint32_t media, j;
    double low, high, reach; /* reach: the largest high so far of the material */
} row;

typedef struct aligning {
    tw_arena *scratch;
    const tw_alignment *a;
    row *rows; /* new shots by material, first position, order */
    size_t *expected;
    size_t most; /* candidates of one shot */
    bool capped;
    size_t pairs; /* looked at */
    tie *links;
    size_t len, cap;
    uint32_t *tree; /* prefix maxima: links by best, 1-based over new shots */
    uint32_t *column;
} aligning;

/* ---- candidates ------------------------------------------------------------------------------------------ */

static int by_material(const void *a, const void *b)
{
    const row *x = a, *y = b;
    return tw_then(TW_CMP(x->media, y->media), tw_then(TW_CMP(x->low, y->low), TW_CMP(x->j, y->j)));
}

static void make_rows(aligning *w)
{
    size_t count = w->a->new_count;
    w->rows = TW_NEW_N(w->scratch, row, count);
    for (size_t j = 0; j < count; j++) {
        twi_span s = twi_recut_span(&w->a->news[j]);
        w->rows[j] = (row){.media = w->a->news[j].media, .j = (uint32_t)j, .low = s.low, .high = s.high};
    }
    TW_SORT(w->rows, count, by_material);
    for (size_t r = 0; r < count; r++) {
        row *at = &w->rows[r];
        bool same = r > 0 && at[-1].media == at->media;
        at->reach = same && at[-1].reach > at->high ? at[-1].reach : at->high;
    }
}

/* The first row that does not come before the key. */
static size_t lower(const aligning *w, row key)
{
    size_t i;
    TW_SEARCH(i, w->a->new_count, by_material(&w->rows[i], &key) < 0);
    return i;
}

/* Frames of a retimed shot are those of either version; the fewer count, so that the price is the same both ways
 * round. */
static int32_t trim_price(int64_t one_way, int64_t other_way)
{
    int64_t a = twi_recut_trim_price(one_way), b = twi_recut_trim_price(other_way);
    return (int32_t)(a < b ? a : b);
}

static void add_link(aligning *w, size_t i, size_t j)
{
    const tw_shot *o = &w->a->olds[i], *n = &w->a->news[j];
    bool retimed;
    if (!twi_recut_linked(o, n, &retimed))
        return;
    TW_PUSH(w->scratch, w->links, w->len, w->cap) = (tie){
        .i = (uint32_t)i,
        .j = (uint32_t)j,
        .head = trim_price(twi_recut_head(o, n), twi_recut_head(n, o)),
        .tail = trim_price(twi_recut_tail(o, n), twi_recut_tail(n, o)),
        .retimed = retimed,
    };
}

static size_t apart(size_t a, size_t b)
{
    return a > b ? a - b : b - a;
}

/* Rows with the same first position as the shot, those nearest to where it is expected first. */
static void add_same_start(aligning *w, size_t i, double low)
{
    const row key = {.media = w->a->olds[i].media, .low = low, .j = (uint32_t)w->expected[i]};
    size_t right = lower(w, key), left = right, count = w->a->new_count;
    for (size_t found = 0;; found++) {
        bool can_left = left > 0 && w->rows[left - 1].media == key.media && w->rows[left - 1].low >= low;
        bool can_right = right < count && w->rows[right].media == key.media && w->rows[right].low <= low;
        if (!can_left && !can_right)
            return;
        if (found == w->most) {
            w->capped = true;
            return;
        }
        w->pairs++;
        bool go_left = can_left && (!can_right || apart(w->rows[left - 1].j, key.j) <= apart(w->rows[right].j, key.j));
        add_link(w, i, w->rows[go_left ? --left : right++].j);
    }
}

static void add_overlapping(aligning *w, size_t i, twi_span span)
{
    const row key = {.media = w->a->olds[i].media, .low = span.high};
    size_t first = w->len;
    for (size_t r = lower(w, key), looked = 0; r > 0 && looked < 8 * w->most; r--, looked++) {
        w->pairs++;
        const row *at = &w->rows[r - 1];
        if (at->media != key.media || at->reach <= span.low || w->len - first >= w->most)
            return;
        if (at->low < span.low || at->low > span.low)
            add_link(w, i, at->j);
    }
}

static int by_new(const void *a, const void *b)
{
    const tie *x = a, *y = b;
    return TW_CMP(x->j, y->j);
}

/* ---- the heaviest chain ---------------------------------------------------------------------------------- */

static int64_t best_of(const aligning *w, uint32_t index)
{
    return index == NONE ? 0 : w->links[index].best;
}

/* The best closed link whose new shot lies before j. */
static uint32_t best_before(const aligning *w, size_t j)
{
    uint32_t found = NONE;
    for (size_t k = j; k > 0; k &= k - 1)
        if (best_of(w, w->tree[k]) > best_of(w, found))
            found = w->tree[k];
    return found;
}

static void offer(aligning *w, uint32_t index)
{
    for (size_t k = (size_t)w->links[index].j + 1; k <= w->a->new_count; k += k & (~k + 1))
        if (best_of(w, index) > best_of(w, w->tree[k]))
            w->tree[k] = index;
}

/* What one more piece saves: its own price less what being a piece costs. Negative when the two do not go together. */
static int64_t piece_saving(const tw_shot *before, const tw_shot *piece)
{
    int64_t missing;
    if (!twi_recut_follows(before, piece, &missing))
        return -1;
    return TW_PRICE_ALONE - TW_PRICE_PIECE - (missing != 0 ? TW_PRICE_GAP : 0);
}

/* Of two pieces of one shot the first leaves some of its tail and the second some of its head to others. */
static bool may_be_pieces(const tie *first, const tie *second)
{
    return !first->retimed && first->tail != 0 && second->head != 0;
}

static void grow_split(aligning *w, size_t first, tie *l)
{
    for (tie *k = &w->links[first]; k < l; k++) {
        w->pairs++;
        if (!may_be_pieces(k, l))
            continue;
        int64_t saving = piece_saving(&w->a->news[k->j], &w->a->news[l->j]);
        int64_t so_far = k->split > k->open ? k->split : k->open;
        if (saving < 0 || so_far + saving <= l->split)
            continue;
        l->split = so_far + saving;
        l->split_from = (uint32_t)(k - w->links);
    }
}

static void grow_join(aligning *w, tie *l)
{
    size_t looked = 0;
    for (uint32_t c = w->column[l->j]; c != NONE && looked < 8 * w->most; c = w->links[c].column, looked++) {
        w->pairs++;
        const tie *k = &w->links[c];
        if (!may_be_pieces(k, l))
            continue;
        int64_t saving = piece_saving(&w->a->olds[k->i], &w->a->olds[l->i]);
        int64_t so_far = k->join > k->open ? k->join : k->open;
        if (saving < 0 || so_far + saving <= l->join)
            continue;
        l->join = so_far + saving;
        l->join_from = c;
    }
}

static void weigh(aligning *w, size_t first, size_t index)
{
    tie *l = &w->links[index];
    l->before = best_before(w, l->j);
    l->open = best_of(w, l->before) + 2 * TW_PRICE_ALONE - l->head;
    l->split_from = l->join_from = NONE;
    l->split = l->join = INT64_MIN / 2;
    if (!l->retimed) {
        grow_split(w, first, l);
        grow_join(w, l);
    }
    l->best = l->open - l->tail - (l->retimed ? TW_PRICE_RETIME : 0);
    l->mode = ONE;
    if (l->split - l->tail > l->best) {
        l->best = l->split - l->tail;
        l->mode = SPLIT;
    }
    if (l->join - l->tail > l->best) {
        l->best = l->join - l->tail;
        l->mode = JOIN;
    }
}

static void do_row(aligning *w, size_t i)
{
    size_t first = w->len;
    twi_span span = twi_recut_span(&w->a->olds[i]);
    add_same_start(w, i, span.low);
    add_overlapping(w, i, span);
    if (w->len > first)
        TW_SORT(w->links + first, w->len - first, by_new);
    for (size_t l = first; l < w->len; l++)
        weigh(w, first, l);
    for (size_t l = first; l < w->len; l++) {
        offer(w, (uint32_t)l);
        w->links[l].column = w->column[w->links[l].j];
        w->column[w->links[l].j] = (uint32_t)l;
    }
}

static uint32_t do_rows(aligning *w)
{
    size_t count = w->a->new_count;
    w->len = 0;
    w->capped = false;
    for (size_t k = 0; k <= count; k++)
        w->tree[k] = NONE;
    for (size_t j = 0; j < count; j++)
        w->column[j] = NONE;
    for (size_t i = 0; i < w->a->old_count; i++)
        do_row(w, i);
    return best_before(w, count);
}

/* ---- from links to groups -------------------------------------------------------------------------------- */

/* The link the group that ends at `last` begins with; *pieces: how many links it has. */
static uint32_t group_start(const aligning *w, uint32_t last, size_t *pieces)
{
    *pieces = 1;
    const mode m = (mode)w->links[last].mode;
    uint32_t at = last;
    for (uint32_t from; m != ONE; at = from) {
        const tie *l = &w->links[at];
        if (at != last && (m == SPLIT ? l->split : l->join) <= l->open)
            break;
        from = m == SPLIT ? l->split_from : l->join_from;
        ++*pieces;
    }
    return at;
}

static void add_group(tw_arena *arena, const aligning *w, tw_alignment *a, uint32_t last)
{
    const mode m = (mode)w->links[last].mode;
    size_t pieces;
    group_start(w, last, &pieces);
    tw_shot_group *g = &a->groups[a->group_count];
    *g = (tw_shot_group){.old_count = m == JOIN ? pieces : 1, .new_count = m == SPLIT ? pieces : 1};
    g->olds = TW_NEW_N(arena, size_t, g->old_count);
    g->news = TW_NEW_N(arena, size_t, g->new_count);
    uint32_t at = last;
    for (size_t k = pieces; k > 0; k--) {
        const tie *l = &w->links[at];
        g->olds[m == JOIN ? k - 1 : 0] = l->i;
        g->news[m == SPLIT ? k - 1 : 0] = l->j;
        a->old_group[l->i] = a->new_group[l->j] = a->group_count;
        at = m == SPLIT ? l->split_from : l->join_from;
    }
    a->group_count++;
}

static void take_chain(tw_arena *arena, const aligning *w, tw_alignment *a, uint32_t last)
{
    size_t pieces;
    a->cost = (int64_t)(a->old_count + a->new_count) * TW_PRICE_ALONE - best_of(w, last);
    while (last != NONE) {
        add_group(arena, w, a, last);
        last = w->links[group_start(w, last, &pieces)].before;
    }
}

/* ---- what moved ------------------------------------------------------------------------------------------ */

typedef struct move {
    const tie *link;
    int64_t price;
    size_t distance;
} move;

static int by_price(const void *a, const void *b)
{
    const move *x = a, *y = b;
    return tw_then(TW_CMP(x->price, y->price), tw_then(TW_CMP(x->distance, y->distance), TW_CMP(x->link, y->link)));
}

/* Shots left over on both sides, cheapest pairs first, then nearest ones. */
static void take_moves(tw_arena *arena, const aligning *w, tw_alignment *a)
{
    move *moves = TW_NEW_N(w->scratch, move, w->len);
    size_t count = 0;
    for (size_t k = 0; k < w->len; k++) {
        const tie *l = &w->links[k];
        if (a->old_group[l->i] == SIZE_MAX && a->new_group[l->j] == SIZE_MAX)
            moves[count++] = (move){l, l->head + l->tail + (l->retimed ? TW_PRICE_RETIME : 0), apart(l->i, l->j)};
    }
    TW_SORT(moves, count, by_price);
    for (size_t k = 0; k < count; k++) {
        const tie *l = moves[k].link;
        if (a->old_group[l->i] != SIZE_MAX || a->new_group[l->j] != SIZE_MAX)
            continue;
        tw_shot_group *g = &a->groups[a->group_count];
        *g = (tw_shot_group){.old_count = 1, .new_count = 1, .moved = true};
        g->olds = TW_NEW(arena, size_t);
        g->news = TW_NEW(arena, size_t);
        g->olds[0] = l->i;
        g->news[0] = l->j;
        a->old_group[l->i] = a->new_group[l->j] = a->group_count++;
    }
}

static int by_first_new(const void *a, const void *b)
{
    const tw_shot_group *x = a, *y = b;
    return TW_CMP(x->news[0], y->news[0]);
}

static void sort_groups(tw_alignment *a)
{
    TW_SORT(a->groups, a->group_count, by_first_new);
    for (size_t g = 0; g < a->group_count; g++) {
        for (size_t k = 0; k < a->groups[g].old_count; k++)
            a->old_group[a->groups[g].olds[k]] = g;
        for (size_t k = 0; k < a->groups[g].new_count; k++)
            a->new_group[a->groups[g].news[k]] = g;
    }
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

static void expect_evenly(aligning *w)
{
    for (size_t i = 0; i < w->a->old_count; i++)
        w->expected[i] = i * w->a->new_count / w->a->old_count;
}

/* Each shot is expected where the last one before it was found; for a second try after a capped first one. */
static void expect_found(aligning *w, uint32_t last)
{
    size_t end = w->a->old_count;
    for (size_t pieces; last != NONE;) {
        const tie *l = &w->links[last];
        for (size_t i = l->i; i < end; i++)
            w->expected[i] = l->j + (i - l->i);
        end = l->i;
        last = w->links[group_start(w, last, &pieces)].before;
    }
}

static void reset_groups(tw_arena *arena, tw_alignment *a)
{
    a->groups = TW_NEW_N(arena, tw_shot_group, a->new_count);
    a->old_group = TW_NEW_N(arena, size_t, a->old_count);
    a->new_group = TW_NEW_N(arena, size_t, a->new_count);
    for (size_t i = 0; i < a->old_count; i++)
        a->old_group[i] = SIZE_MAX;
    for (size_t j = 0; j < a->new_count; j++)
        a->new_group[j] = SIZE_MAX;
}

tw_alignment *tw_recut_align(tw_arena *arena, const tw_timeline *old_timeline, const tw_timeline *new_timeline)
{
    tw_alignment *a = TW_NEW(arena, tw_alignment);
    a->old_timeline = old_timeline;
    a->new_timeline = new_timeline;
    twi_recut_identify(arena, a);
    reset_groups(arena, a);
    aligning w = {.scratch = tw_arena_like(arena), .a = a};
    size_t room = LINKS_WANTED / (a->old_count + 1);
    w.most = room > TW_ALIGN_CANDIDATES ? TW_ALIGN_CANDIDATES : room < LEAST_CANDIDATES ? LEAST_CANDIDATES : room;
    w.expected = TW_NEW_N(w.scratch, size_t, a->old_count);
    w.tree = TW_NEW_N(w.scratch, uint32_t, a->new_count + 1);
    w.column = TW_NEW_N(w.scratch, uint32_t, a->new_count);
    make_rows(&w);
    expect_evenly(&w);
    uint32_t last = do_rows(&w);
    if (w.capped) {
        expect_found(&w, last);
        last = do_rows(&w);
    }
    take_chain(arena, &w, a, last);
    take_moves(arena, &w, a);
    sort_groups(a);
    a->pairs = w.pairs;
    tw_arena_free(&w.scratch);
    return a;
}
