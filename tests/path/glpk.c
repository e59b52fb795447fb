/* SPDX-License-Identifier: Apache-2.0 */
#include "path/glpk.h"

#include <stdio.h>
#include <stdlib.h>

#define LP_FILE "path_glpk.lp"
#define COMMAND "glpsol --lp %s -o %s.out --tmlim 60 > %s.log 2>&1"

bool glpk_found(void)
{
    if (system("glpsol --version > path_glpk.version 2>&1") == 0)
        return true;
    fprintf(stderr, "SKIPPED: no glpsol (package glpk-utils): nothing was compared with the general solver\n");
    return false;
}

/* "   No. Column name  St   Activity ..." rows: number, name, perhaps a state, value. */
static void read_columns(FILE *in, double *values, size_t count)
{
    char line[512];
    while (fgets(line, sizeof line, in) != NULL) {
        size_t index;
        char state[8];
        double value;
        if (sscanf(line, " %*u x%zu %7[A-Z*] %lf", &index, state, &value) == 3 ||
            sscanf(line, " %*u x%zu %lf", &index, &value) == 2)
            if (index < count)
                values[index] = value;
    }
}

double glpk_run(const char *lp_file, double *values, size_t count)
{
    char command[512], name[256], line[512];
    snprintf(command, sizeof command, COMMAND, lp_file, lp_file, lp_file);
    snprintf(name, sizeof name, "%s.out", lp_file);
    remove(name);
    if (system(command) != 0)
        return NAN;
    FILE *in = fopen(name, "r");
    double objective = NAN;
    bool solved = false;
    while (in != NULL && fgets(line, sizeof line, in) != NULL) {
        solved = solved || (strncmp(line, "Status:", 7) == 0 && strstr(line, "OPTIMAL") != NULL &&
                            strstr(line, "UNDEFINED") == NULL);
        if (sscanf(line, "Objective: %*s = %lf", &objective) == 1)
            break;
    }
    if (in != NULL && values != NULL)
        read_columns(in, values, count);
    if (in != NULL)
        fclose(in);
    return solved ? objective : NAN;
}

/* |x_{t-1} - 2 x_t + x_{t+1}| <= 2 V z_t; the ghosts before and after the shot rest. */
static void write_bend(FILE *out, size_t a, size_t t, size_t n, double speed)
{
    for (int side = -1; side <= 1; side += 2) {
        fprintf(out, " b%zu_%zu_%d:", a, t, side + 1);
        if (t > 0)
            fprintf(out, " %+d x%zu_%zu", side, a, t - 1);
        if (t + 1 < n)
            fprintf(out, " %+d x%zu_%zu", side, a, t + 1);
        int ends = (t > 0) + (t + 1 < n);
        fprintf(out, " %+d x%zu_%zu - %.17g z%zu <= 0\n", -side * ends, a, t, 2 * speed, t);
    }
}

size_t glpk_keys(const twi_tube *tubes, size_t axes, const double *speed)
{
    FILE *out = fopen(LP_FILE, "w");
    if (out == NULL)
        return SIZE_MAX;
    size_t n = tubes[0].n;
    fprintf(out, "Minimize\n keys:");
    for (size_t t = 0; t < n; t++)
        fprintf(out, " + z%zu", t);
    fprintf(out, "\nSubject To\n");
    for (size_t a = 0; a < axes; a++) {
        for (size_t t = 0; t < n && n > 1; t++)
            write_bend(out, a, t, n, speed[a]);
        for (size_t t = 0; t + 1 < n; t++) {
            fprintf(out, " s%zu_%zu: x%zu_%zu - x%zu_%zu <= %.17g\n", a, t, a, t + 1, a, t, speed[a]);
            fprintf(out, " r%zu_%zu: x%zu_%zu - x%zu_%zu <= %.17g\n", a, t, a, t, a, t + 1, speed[a]);
        }
    }
    fprintf(out, "Bounds\n");
    for (size_t a = 0; a < axes; a++)
        for (size_t t = 0; t < n; t++)
            fprintf(out, " %.17g <= x%zu_%zu <= %.17g\n", tubes[a].lo[t], a, t, tubes[a].hi[t]);
    fprintf(out, "Binary\n");
    for (size_t t = 0; t < n; t++)
        fprintf(out, " z%zu\n", t);
    fprintf(out, "End\n");
    fclose(out);
    double keys = glpk_run(LP_FILE, NULL, 0);
    return isnan(keys) ? 0 : keys < 0.5 ? 1 : (size_t)(keys + 0.5);
}

double glpk_cut(const twi_tube *tube, const double *weight, double speed)
{
    FILE *out = fopen(LP_FILE, "w");
    if (out == NULL)
        return NAN;
    fprintf(out, "Minimize\n cut:");
    for (size_t t = 0; t < tube->n; t++)
        fprintf(out, " + %.17g d%zu", weight[t], t);
    fprintf(out, "\nSubject To\n");
    for (size_t t = 0; t < tube->n; t++) {
        fprintf(out, " l%zu: x%zu + d%zu >= %.17g\n h%zu: x%zu - d%zu <= %.17g\n", t, t, t, tube->lo[t], t, t, t,
                tube->hi[t]);
        if (t + 1 < tube->n)
            fprintf(out, " s%zu: x%zu - x%zu <= %.17g\n r%zu: x%zu - x%zu <= %.17g\n", t, t + 1, t, speed, t, t, t + 1,
                    speed);
    }
    fprintf(out, "Bounds\n");
    for (size_t t = 0; t < tube->n; t++)
        fprintf(out, " x%zu free\n", t);
    fprintf(out, "End\n");
    fclose(out);
    return glpk_run(LP_FILE, NULL, 0);
}

/* ---- the L1 path ----------------------------------------------------------------------------------------- */

static const double difference[3][4] = {{-1, 1}, {1, -2, 1}, {-1, 3, -3, 1}}, l1_weight[3] = {10, 1, 100};

/* |difference of that order at t| <= a variable named after the order. */
static void write_difference(FILE *out, size_t t, size_t order)
{
    for (int side = -1; side <= 1; side += 2) {
        fprintf(out, " %c%zu_%d:", "abc"[order - 1], t, side + 1);
        for (size_t i = 0; i <= order; i++)
            fprintf(out, " %+g x%zu", side * difference[order - 1][i], t + i);
        fprintf(out, " - %c%zu <= 0\n", "abc"[order - 1], t);
    }
}

double glpk_l1(const twi_tube *tube, double price, double speed, double *x)
{
    FILE *out = fopen(LP_FILE, "w");
    if (out == NULL)
        return NAN;
    fprintf(out, "Minimize\n cost:");
    for (size_t order = 1; order <= 3; order++)
        for (size_t t = 0; t + order < tube->n; t++)
            fprintf(out, " + %g %c%zu%s", l1_weight[order - 1], "abc"[order - 1], t, t % 8 == 7 ? "\n" : "");
    for (size_t t = 0; t < tube->n; t++)
        fprintf(out, " + %g s%zu%s", fmax(price, 0), t, t % 8 == 7 ? "\n" : "");
    fprintf(out, "\nSubject To\n");
    for (size_t order = 1; order <= 3; order++)
        for (size_t t = 0; t + order < tube->n; t++)
            write_difference(out, t, order);
    for (size_t t = 0; t + 1 < tube->n && isfinite(speed); t++)
        fprintf(out, " v%zu: x%zu - x%zu <= %.9g\n w%zu: x%zu - x%zu <= %.9g\n", t, t + 1, t, speed, t, t, t + 1,
                speed);
    for (size_t t = 0; t < tube->n; t++)
        fprintf(out, " l%zu: x%zu + s%zu >= %.9g\n h%zu: x%zu - s%zu <= %.9g\n", t, t, t, tube->lo[t], t, t, t,
                tube->hi[t]);
    fprintf(out, "Bounds\n");
    for (size_t t = 0; t < tube->n; t++)
        fprintf(out, " x%zu free\n", t);
    for (size_t t = 0; t < tube->n && price <= 0; t++)
        fprintf(out, " s%zu = 0\n", t);
    fprintf(out, "End\n");
    fclose(out);
    return glpk_run(LP_FILE, x, tube->n);
}
