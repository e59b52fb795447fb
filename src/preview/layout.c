/* SPDX-License-Identifier: Apache-2.0
 *
 * How large panes are, and how large pictures must be decoded for them.
 */
#include "preview/preview_internal.h"

#include <math.h>

#define GAP 16 /* pixels between panes */

static double width_for_pane(const tw_preview_pane *pane, const tw_item *clip, tw_size size)
{
    const tw_framing *framing = pane->framings[clip->index];
    double narrowest = size.w;
    for (size_t k = 0; framing != NULL && k < framing->key_count; k++)
        narrowest = tw_min(narrowest, framing->keys[k].w);
    if (framing == NULL)
        narrowest = tw_max(size.w, tw_geom_fit(size, 1, (tw_size){pane->w, pane->h}).w);
    return (double)size.w * pane->w / narrowest;
}

int32_t tw_preview_width(const tw_preview_film *films, size_t film_count, const tw_item *clip, tw_size size)
{
    double width = 1;
    for (size_t f = 0; f < film_count; f++)
        for (size_t p = 0; p < films[f].pane_count; p++)
            width = tw_max(width, width_for_pane(&films[f].panes[p], clip, size));
    return width < size.w ? (int32_t)ceil(width - 1e-6) : size.w;
}

static int32_t even(double v)
{
    int32_t whole = (int32_t)lround(v / 2) * 2;
    return whole < 2 ? 2 : whole;
}

tw_size tw_preview_layout(const tw_size *deliveries, size_t count, tw_size most, tw_preview_pane *panes)
{
    double shapes = 0;
    for (size_t i = 0; i < count; i++)
        shapes += (double)deliveries[i].w / deliveries[i].h;
    int32_t gaps = GAP * (int32_t)(count - 1);
    double high = tw_min(most.h, (most.w - gaps) / shapes);
    int32_t height = (int32_t)tw_max(2, floor(high / 2) * 2), x = 0;
    for (size_t i = 0; i < count; i++) {
        panes[i].x = x;
        panes[i].y = 0;
        panes[i].w = even((double)height * deliveries[i].w / deliveries[i].h);
        panes[i].h = height;
        x += panes[i].w + GAP;
    }
    return (tw_size){x - GAP, height};
}
