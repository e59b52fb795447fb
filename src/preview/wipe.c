/* SPDX-License-Identifier: Apache-2.0
 *
 * Wipes: each is a height over the picture, and what lies lower than the share that is done is uncovered. Numbers and
 * directions: from memory of the table of wipes in SMIL 3.0 (Transition Effects), which has those of SMPTE ST 258.
 */
#include <tallwide/preview.h>

#include <math.h>

static double bar_right(double u, double v)
{
    (void)v;
    return u;
}

static double bar_down(double u, double v)
{
    (void)u;
    return v;
}

static double box(double u, double v)
{
    return tw_max(u, v);
}

static double box_right(double u, double v)
{
    return tw_max(1 - u, v);
}

static double box_right_low(double u, double v)
{
    return tw_max(1 - u, 1 - v);
}

static double box_low(double u, double v)
{
    return tw_max(u, 1 - v);
}

static double door_across(double u, double v)
{
    (void)v;
    return fabs(u - 0.5) * 2;
}

static double door_down(double u, double v)
{
    (void)u;
    return fabs(v - 0.5) * 2;
}

static double slope(double u, double v)
{
    return (u + v) / 2;
}

static double slope_right(double u, double v)
{
    return (1 - u + v) / 2;
}

static double iris_box(double u, double v)
{
    return tw_max(fabs(u - 0.5), fabs(v - 0.5)) * 2;
}

static double iris_diamond(double u, double v)
{
    return fabs(u - 0.5) + fabs(v - 0.5);
}

static const struct {
    int number;
    double (*height)(double u, double v);
} wipes[] = {
    {1, bar_right},    {2, bar_down},   {3, box},    {4, box_right},    {5, box_right_low}, {6, box_low},
    {21, door_across}, {22, door_down}, {41, slope}, {42, slope_right}, {101, iris_box},    {102, iris_diamond},
};

int tw_preview_wipe(tw_str name)
{
    if (tw_str_glob(TW_STR("*dissolve*"), name))
        return 0;
    tw_str word = TW_STR("wipe ");
    int64_t number = -1;
    if (!tw_str_istarts(name, word) || !tw_num_int(tw_str_from(name, word.len), &number))
        return -1;
    for (size_t i = 0; i < TW_COUNT(wipes); i++)
        if (wipes[i].number == number)
            return wipes[i].number;
    return -1;
}

bool tw_preview_wiped(int wipe, double u, double v, double part)
{
    for (size_t i = 0; i < TW_COUNT(wipes); i++)
        if (wipes[i].number == wipe)
            return wipes[i].height(u, v) < part;
    return false;
}
