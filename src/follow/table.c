/* SPDX-License-Identifier: Apache-2.0
 *
 * Tables of what was followed.
 */
#include <tallwide/follow.h>

static void add(double value, int places, tw_buf *out)
{
    tw_buf_addc(out, ',');
    tw_buf_add_fixed(out, value, places);
}

static double cut_off(double v, double most)
{
    return v < 0 ? 0 : v > most ? most : v;
}

void tw_follow_table(const tw_spot *spots, int64_t count, int64_t first, const tw_follow_scale *scale, tw_buf *out)
{
    for (int64_t i = 0; i < count; i++) {
        const tw_spot *s = &spots[i];
        double left = cut_off(s->left * scale->x, scale->w), right = cut_off((s->left + s->width) * scale->x, scale->w);
        double top = cut_off(s->top * scale->y, scale->h), bottom = cut_off((s->top + s->height) * scale->y, scale->h);
        if (right - left < 1 || bottom - top < 1)
            continue;
        tw_buf_add_int(out, first + i + 1);
        tw_buf_addz(out, ",1");
        add(left, 2, out);
        add(top, 2, out);
        add(right - left, 2, out);
        add(bottom - top, 2, out);
        add(s->sure, 3, out);
        tw_buf_addz(out, ",-1,-1,-1\n");
    }
}

void tw_follow_motion(const tw_camera *cameras, int64_t count, int64_t first, const tw_follow_scale *scale, tw_buf *out)
{
    tw_buf_addz(out, "frame,dx,dy,sure\n");
    for (int64_t i = 0; i < count; i++) {
        tw_buf_add_int(out, first + i + 1);
        add(cameras[i].dx * scale->x, 3, out);
        add(cameras[i].dy * scale->y, 3, out);
        add(cameras[i].sure, 3, out);
        tw_buf_addc(out, '\n');
    }
}
