/* SPDX-License-Identifier: Apache-2.0
 *
 * A cut inside a file: small pictures before and after are alike under no shift. A flash or a change of exposure keeps
 * the structure, so correlation is asked and not the difference.
 */
#include "subject_internal.h"

#define SIDE 24 /* samples of the small picture compared */
#define WIDE 32 /* and of the one it is looked for in: shifts up to 4 either way, an eighth of the picture */
#define ALIKE 0.5
#define FLAT 4

/* The whole picture in WIDE x WIDE samples. */
static void shrink(const tw_pyramid *frame, uint8_t *out)
{
    double w = frame->level[0].w, h = frame->level[0].h;
    twi_view view = {w / 2, h / 2, w / WIDE, h / w, 1, 0};
    twi_view_take(frame, &view, WIDE, out);
}

static void crop(const uint8_t *from, int x, int y, uint8_t *out)
{
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++)
            out[j * SIDE + i] = from[(y + j) * WIDE + x + i];
}

/* Little detail says little: a fade to black is no cut. */
static bool plain(const uint8_t *px)
{
    uint8_t ramp[SIDE * SIDE];
    for (int i = 0; i < SIDE * SIDE; i++)
        ramp[i] = (uint8_t)(i % 200);
    return twi_alike(px, ramp, SIDE * SIDE, FLAT) == 0;
}

bool tw_cut_between(const tw_pyramid *before, const tw_pyramid *now)
{
    uint8_t a[WIDE * WIDE], b[WIDE * WIDE], middle[SIDE * SIDE], other[SIDE * SIDE];
    int margin = (WIDE - SIDE) / 2;
    shrink(before, a);
    shrink(now, b);
    crop(a, margin, margin, middle);
    crop(b, margin, margin, other);
    if (plain(middle) || plain(other))
        return false;
    if (twi_alike(middle, other, SIDE * SIDE, FLAT) > ALIKE)
        return false; /* as nearly always */
    for (int y = 0; y <= 2 * margin; y++)
        for (int x = 0; x <= 2 * margin; x++) {
            crop(b, x, y, other);
            if (twi_alike(middle, other, SIDE * SIDE, FLAT) > ALIKE)
                return false;
        }
    return true;
}
