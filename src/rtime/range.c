/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/rtime.h>

tw_time tw_range_end(tw_range r)
{
    return tw_time_add(r.start, r.dur);
}

tw_range tw_range_of(tw_time start, tw_time end)
{
    return (tw_range){start, tw_time_sub(end, start)};
}

tw_range tw_range_cut(tw_range a, tw_range b)
{
    tw_time start = tw_time_cmp(a.start, b.start) > 0 ? a.start : b.start;
    tw_time a_end = tw_range_end(a), b_end = tw_range_end(b);
    tw_time end = tw_time_cmp(a_end, b_end) < 0 ? a_end : b_end;
    return tw_time_cmp(end, start) > 0 ? tw_range_of(start, end) : (tw_range){start, TW_TIME_ZERO};
}
