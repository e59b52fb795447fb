/* SPDX-License-Identifier: Apache-2.0
 *
 * Names in a drawing that do not meet.
 */
#include "report_internal.h"

#include <math.h>

double twi_names_take(twi_names *n, double x, double y, tw_str text)
{
    double w = n->size * 0.62 * (double)text.len;
    for (size_t i = 0; i < n->count;) {
        bool apart = x + w < n->at[i].x || n->at[i].x + n->at[i].w < x || fabs(n->at[i].y - y) >= n->size;
        if (!apart)
            y = n->at[i].y + n->size * 1.1;
        i = apart ? i + 1 : 0; /* y only grows, so this ends */
    }
    if (n->count < TWI_MOST_NAMES) {
        n->at[n->count].x = x;
        n->at[n->count].y = y;
        n->at[n->count++].w = w;
    }
    return y;
}
