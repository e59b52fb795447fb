/* SPDX-License-Identifier: Apache-2.0
 *
 * pixels BINARY FOLDER: do rendered previews show the windows their keyframes say, and the frames the edit says?
 *
 * Chart films are made whose every pixel names its place and whose every picture names itself: brightness zigzags from
 * left to right over the whole source picture, no two legs alike, Cb does from top to bottom, Cr is the frame. Edits
 * of them with cuts, dissolves, speed changes, freezes and gaps are forked and rendered without loss by the command, and
 * read back. The window that was shown is the expected one, from the keyframes in the derived files, moved until what
 * the zigzag says fits best (one step of least squares): by how many source pixels is what is measured.
 *
 * The charts are proxies, 960x720, of a source of 5760x4320 that the plan speaks of; one is that large itself. Levels
 * are dithered: rows (columns for Cb) begin their steps at eight places.
 */
#define _XOPEN_SOURCE 700
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <tallwide/formats.h>
#include <tallwide/media.h>

#define SOURCE_W 5760
#define SOURCE_H 4320
#define FILM_FRAMES 64 /* as many as marks; reel A shows the first half of them, B the other */
#define FAILURES_SHOWN 12

static const tw_media_tools tools = {.ffmpeg = NULL};
static int failures, measured;
static double worst, worst_mix;

static void fail(const char *where, int64_t frame, const char *what, double got, double expected)
{
    if (failures++ < FAILURES_SHOWN)
        printf("FAILED: %s, frame %lld: %s is %.3f, expected %.3f\n", where, (long long)frame, what, got, expected);
}

static void need(bool fine, const char *what)
{
    if (fine)
        return;
    printf("FAILED: %s\n", what);
    exit(1);
}

typedef struct clockwork {
    tw_rate rate;
    bool drop;
    int64_t media; /* first frame of the films */
} clockwork;

/* ---- charts ------------------------------------------------------------------------------------------------ */

#define LOW 16.0
#define SPAN 219.0
#define STEPS 8 /* of the dither; a mean of floors lies a sixteenth below the value */
#define FLOORED (1.0 / (2 * STEPS))

/* Where the zigzag turns, as shares of the picture. */
static const double turns[] = {0, 0.108, 0.243, 0.358, 0.503, 0.611, 0.764, 0.879, 1};
#define TURNS (sizeof turns / sizeof turns[0])

/* The leg of the zigzag that holds a place. */
static size_t leg_of(double share)
{
    size_t leg = 0;
    while (leg + 2 < TURNS && share >= turns[leg + 1])
        leg++;
    return leg;
}

static double slope_at(double share)
{
    size_t leg = leg_of(share);
    return (leg % 2 == 0 ? SPAN : -SPAN) / (turns[leg + 1] - turns[leg]);
}

static double level_at(double share)
{
    size_t leg = leg_of(share);
    return (leg % 2 == 0 ? LOW : LOW + SPAN) + slope_at(share) * (share - turns[leg]);
}

/* The mean over a stretch. */
static double mean_of(double from, double to)
{
    double sum = 0;
    for (int i = 0; i < 16; i++)
        sum += level_at(from + (to - from) * (i + 0.5) / 16);
    return sum / 16;
}

static int mark(int64_t frame)
{
    return 60 + 2 * (int)frame;
}

static void draw_chart(uint8_t *planes, int32_t w, int32_t h)
{
    for (int32_t y = 0; y < h; y++) {
        double down = mean_of((double)y / h, (y + 1.0) / h);
        for (int32_t x = 0; x < w; x++)
            planes[(h + y) * w + x] = (uint8_t)(down + (double)(x * 5 % STEPS) / STEPS);
    }
    for (int32_t x = 0; x < w; x++) {
        double across = mean_of((double)x / w, (x + 1.0) / w);
        for (int32_t y = 0; y < h; y++)
            planes[y * w + x] = (uint8_t)(across + (double)(y * 5 % STEPS) / STEPS);
    }
}

/* One film, under the names of both reels. */
static void make_film(tw_arena *arena, const clockwork *c, int32_t w, int frames)
{
    int32_t h = w * SOURCE_H / SOURCE_W;
    size_t plane = (size_t)w * (size_t)h;
    uint8_t *planes = malloc(3 * plane);
    tw_diags *diags = tw_diags_new(arena);
    tw_media_writer *writer;
    const tw_media_film film = {
        .path = "media/A001.mkv",
        .width = w,
        .height = h,
        .rate = c->rate,
        .drop = c->drop,
        .start = c->media,
    };
    need(planes != NULL, "memory");
    need(tw_media_create(arena, &tools, &film, diags, &writer) == TW_OK, "no film");
    draw_chart(planes, w, h);
    for (int k = 0; k < frames; k++) {
        memset(planes + 2 * plane, mark(k), plane);
        if (tw_media_put(writer, planes) != TW_OK)
            need(false, tw_diags_get(diags, 0)->message.at);
    }
    need(tw_media_finish(writer) == TW_OK, "no film");
    tw_media_drop(&writer);
    unlink("media/B001.mkv");
    need(link("media/A001.mkv", "media/B001.mkv") == 0, "no second name");
    free(planes);
}

/* ---- edits ------------------------------------------------------------------------------------------------- */

/* Of each shot: how many frames, which frame of its film first, how many frames it mixes in over, and its speed in
 * percent. */
typedef struct shot {
    char reel; /* ' ': a gap */
    int frames, from, mix, percent;
} shot;

typedef struct show {
    const char *name, *rate;
    int32_t film_width;
    int film_frames;
    const shot *shots;
    size_t count;
} show;

static const shot all_kinds[] = {
    {'A', 10, 2, 0, 100}, {'B', 18, 34, 8, 100}, {'A', 8, 10, 0, 200}, {'B', 8, 60, 0, -100},
    {'A', 4, 28, 0, 0},   {' ', 3, 0, 0, 0},     {'B', 10, 50, 0, 50}, {'A', 9, 16, 6, 100},
};
static const shot few[] = {{'A', 3, 0, 0, 100}};

#define KINDS (sizeof all_kinds / sizeof all_kinds[0])
static const show shows[] = {
    {"film", "24000/1001", 960, FILM_FRAMES, all_kinds, KINDS},
    {"drop", "29.97df", 960, FILM_FRAMES, all_kinds, KINDS},
    {"even", "25", 960, FILM_FRAMES, all_kinds, KINDS},
    {"fast", "60000/1001", 960, FILM_FRAMES, all_kinds, KINDS},
    {"large", "25", SOURCE_W, 3, few, 1},
};

static void add_time(tw_buf *out, const clockwork *c, int64_t frame)
{
    char label[12];
    tw_tc_write(frame, c->rate, c->drop, false, label);
    tw_buf_addf(out, " %s", label);
}

static int64_t shown(const shot *s)
{
    return s->percent == 0 ? 1 : llabs((int64_t)s->frames * s->percent) / 100;
}

static void add_event(tw_buf *out, const clockwork *c, const shot *s, int number, int64_t record)
{
    int64_t from = c->media + s->from;
    if (s->mix > 0) { /* what it mixes from goes on where it was: the shot before */
        int64_t end = c->media + s[-1].from + shown(&s[-1]);
        tw_buf_addf(out, "%03d  %c001     V     C       ", number, s[-1].reel);
        for (int i = 0; i < 2; i++)
            add_time(out, c, end);
        for (int i = 0; i < 2; i++)
            add_time(out, c, record);
        tw_buf_addf(out, "\n%03d  %c001     V     D    %03d", number, s->reel, s->mix);
    } else
        tw_buf_addf(out, "%03d  %c001     V     C       ", number, s->reel);
    add_time(out, c, from);
    add_time(out, c, from + shown(s));
    add_time(out, c, record);
    add_time(out, c, record + s->frames);
    tw_buf_addc(out, '\n');
    if (s->percent == 100)
        return;
    int64_t tenths = (int64_t)tw_rate_count(c->rate) * 10 * s->percent / 100;
    tw_buf_addf(out, "M2   %c001       %s%03lld.%lld               ", s->reel, tenths < 0 ? "-" : "",
                llabs(tenths) / 10, llabs(tenths) % 10);
    add_time(out, c, from);
    tw_buf_addc(out, '\n');
}

static void write_text(const char *path, tw_str text)
{
    FILE *f = fopen(path, "wb");
    need(f != NULL && fwrite(text.at, 1, text.len, f) == text.len && fclose(f) == 0, path);
}

static void write_edit(tw_arena *arena, const show *s, const clockwork *c)
{
    tw_buf out = {.arena = arena};
    int64_t record = (int64_t)3600 * tw_rate_count(c->rate), start = record;
    tw_tc_read(TW_STR("01:00:00:00"), c->rate, c->drop, &start);
    record = start;
    tw_buf_addf(&out, "TITLE: PIXELS\nFCM: %sDROP FRAME\n\n", c->drop ? "" : "NON-");
    for (size_t i = 0; i < s->count; i++) {
        if (s->shots[i].reel != ' ')
            add_event(&out, c, &s->shots[i], (int)i + 1, record);
        record += s->shots[i].frames;
    }
    write_text("cut.edl", tw_buf_str(&out));
}

/* Hand windows that move across, down and wider, differently for both shapes, and end between pixels. */
static void write_plan(tw_arena *arena, const show *s, const clockwork *c)
{
    static const double paths[2][2][4] = {{{211.5, 340.25, 1500, 6}, {2900.75, 512, 2100.5, 6}},
                                          {{33, 905.5, 3600, 4}, {1501.25, 77, 2900, 4}}};
    tw_buf out = {.arena = arena};
    tw_buf_addf(&out,
                "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"cut.edl\", \"rate\": \"%s\"},\n"
                "\"deliveries\": [{\"name\": \"tall\", \"size\": [360, 640], \"formats\": [\"otio\"]},\n"
                "{\"name\": \"wide\", \"size\": [640, 360], \"formats\": [\"otio\"]}],\n"
                "\"sources\": [{\"reel\": \"*\", \"size\": [%d, %d]}],\n\"notes\": [\n",
                s->rate, SOURCE_W, SOURCE_H);
    for (int note = 0; note < 4; note++) {
        char reel = note < 2 ? 'A' : 'B';
        tw_buf_addf(&out, "%s{\"id\": \"n%d\", \"reel\": \"%c001\", \"deliveries\": [\"%s\"], \"window\": [[\"",
                    note > 0 ? ",\n" : "", note, reel, note % 2 == 0 ? "tall" : "wide");
        for (int k = 0; k < 2; k++) {
            char label[12];
            const double *w = paths[note % 2][(note / 2 + k) % 2];
            tw_tc_write(c->media + (k == 0 ? 4 : 55), c->rate, c->drop, false, label);
            tw_buf_addf(&out, "%s%s\"", k > 0 ? ", [\"" : "", label);
            for (int v = 0; v < 4; v++) {
                tw_buf_addz(&out, ", ");
                tw_buf_add_double(&out, w[v]);
            }
            tw_buf_addc(&out, ']');
        }
        tw_buf_addz(&out, "]}");
    }
    tw_buf_addz(&out, "]}\n");
    write_text("cut.plan.json", tw_buf_str(&out));
}

/* ---- running the command ----------------------------------------------------------------------------------- */

static void run(const char *const *words, int allowed)
{
    fflush(stdout);
    pid_t pid = fork();
    need(pid >= 0, "fork");
    if (pid == 0) {
        execv(words[0], (char *const *)words);
        _exit(127);
    }
    int status = 0;
    waitpid(pid, &status, 0);
    if (WIFEXITED(status) && WEXITSTATUS(status) <= allowed)
        return;
    printf("FAILED: %s: exit %d\n", words[1], WIFEXITED(status) ? WEXITSTATUS(status) : -1);
    exit(1);
}

/* ---- measuring --------------------------------------------------------------------------------------------- */

/* The part of a film that shows one delivery. */
typedef struct pane {
    int32_t x, w, h, stride;
} pane;

/* Means of the columns of a pane, or of its rows. */
static void profile(const uint8_t *plane, const pane *p, bool across, double *out)
{
    int32_t n = across ? p->w : p->h, m = across ? p->h : p->w;
    for (int32_t i = 0; i < n; i++) {
        double sum = 0;
        for (int32_t k = 0; k < m; k++)
            sum += across ? plane[k * p->stride + p->x + i] : plane[i * p->stride + p->x + k];
        out[i] = sum / m + FLOORED;
    }
}

/* A window's extent along one side, as shares of the picture. */
typedef struct extent {
    double from, to;
} extent;

#define SIDE_MOST 4096
#define BLUR (2.5 / 960) /* about the zigzag's turns pictures that were scaled are rounder than it */

static bool near_turn(double share)
{
    for (size_t i = 0; i < TURNS; i++)
        if (fabs(share - turns[i]) < BLUR)
            return true;
    return false;
}

/* By how much both ends must be moved for what is expected to fit what is seen: column i answers to a move of the first
 * end by slope * (1 - u), of the other by slope * u. The normal equations of that. */
static extent misfit(const double *seen, int32_t n, extent e)
{
    double a = 0, b = 0, c = 0, p = 0, q = 0;
    for (int32_t i = 0; i < n; i++) {
        double u = (i + 0.5) / n, step = (e.to - e.from) / n, at = e.from + i * step;
        if (near_turn(at) || near_turn(at + step) || near_turn(at + step / 2))
            continue;
        double slope = slope_at(at + step / 2), off = seen[i] - mean_of(at, at + step);
        double x = slope * (1 - u), y = slope * u;
        a += x * x;
        b += x * y;
        c += y * y;
        p += x * off;
        q += y * off;
    }
    double d = a * c - b * b;
    return (extent){(c * p - b * q) / d, (a * q - b * p) / d};
}

/* Root mean square of what is seen less what is expected, for mixes of two windows. */
static double distance(const double *seen, int32_t n, extent a, extent b, double part)
{
    double sum = 0;
    int32_t count = 0;
    for (int32_t i = 0; i < n; i++) {
        double sa = (a.to - a.from) / n, sb = (b.to - b.from) / n, xa = a.from + i * sa, xb = b.from + i * sb;
        if (near_turn(xa) || near_turn(xa + sa) || near_turn(xb) || near_turn(xb + sb))
            continue;
        double off = seen[i] - (1 - part) * mean_of(xa, xa + sa) - part * mean_of(xb, xb + sb);
        sum += off * off;
        count++;
    }
    return sqrt(sum / (count > 0 ? count : 1));
}

/* Off by at most a source pixel? */
static void hold(const char *where, int64_t frame, const char *what, double pixels)
{
    worst = fabs(pixels) > worst ? fabs(pixels) : worst;
    measured++;
    if (!(fabs(pixels) <= 1))
        fail(where, frame, what, pixels, 0);
}

/* What is expected of one clip at one of its frames. */
typedef struct picture {
    extent across, down;
    int mark;
} picture;

static picture expect(const tw_item *clip, int64_t frame, const clockwork *c)
{
    tw_window win = tw_framing_window(clip->framing, (double)frame);
    double from = tw_time_seconds(clip->source.start) * tw_rate_fps(c->rate);
    int64_t k = (int64_t)floor(rint(from) + (double)frame * clip->speed + 1e-6) - c->media;
    return (picture){
        {win.x / SOURCE_W, (win.x + win.w) / SOURCE_W}, {win.y / SOURCE_H, (win.y + win.h) / SOURCE_H}, mark(k)};
}

/* What is looked at: one delivery's pane of one film. */
typedef struct look {
    const char *where;
    const tw_media_frame *got;
    pane pane;
    int64_t frame;
} look;

static tw_timeline *read_derived(tw_arena *arena, const char *path)
{
    tw_str bytes, why;
    tw_timeline *t = NULL;
    const tw_read_options options = {.drop = false};
    need(tw_file_read(arena, path, TW_FILE_LIMIT, &bytes, &why) == TW_OK, path);
    need(tw_formats_read(arena, bytes, tw_str_z(path), &options, tw_diags_new(arena), &t) == TW_OK, path);
    return t;
}

static void check_mark(const look *l, double expected, double slack)
{
    for (int32_t i = 0; i < l->pane.w * l->pane.h; i += 97) {
        uint8_t seen = l->got->planes[2][i / l->pane.w * l->pane.stride + l->pane.x + i % l->pane.w];
        if (fabs(seen - expected) > slack)
            fail(l->where, l->frame, "the frame's mark", seen, expected);
    }
}

static void compare(const look *l, picture want)
{
    double seen[SIDE_MOST];
    profile(l->got->planes[0], &l->pane, true, seen);
    extent across = misfit(seen, l->pane.w, want.across);
    hold(l->where, l->frame, "left", across.from * SOURCE_W);
    hold(l->where, l->frame, "right", across.to * SOURCE_W);
    profile(l->got->planes[1], &l->pane, false, seen);
    extent down = misfit(seen, l->pane.h, want.down);
    hold(l->where, l->frame, "top", down.from * SOURCE_H);
    hold(l->where, l->frame, "bottom", down.to * SOURCE_H);
    check_mark(l, want.mark, 0);
}

/* Two windows at once cannot be told apart by fitting. Rounding a mix to whole levels leaves a root mean square of
 * 1 / sqrt(12), one source pixel adds its part of the zigzag's slope: more than both together is more than a pixel.
 * Pictures are mixed in 256ths. */
static void compare_mixed(const look *l, picture a, picture b, double part)
{
    double seen[SIDE_MOST], exact = rint(part * 256) / 256;
    const double per_pixel = SPAN / 0.13 / SOURCE_W, most = sqrt(1.0 / 12 + per_pixel * per_pixel);
    profile(l->got->planes[0], &l->pane, true, seen);
    double across = distance(seen, l->pane.w, a.across, b.across, exact);
    profile(l->got->planes[1], &l->pane, false, seen);
    double down = distance(seen, l->pane.h, a.down, b.down, exact);
    worst_mix = fmax(worst_mix, fmax(across, down));
    if (!(across <= most && down <= most))
        fail(l->where, l->frame, "a mix is off by levels", fmax(across, down), 0);
    check_mark(l, a.mark + (b.mark - a.mark) * exact, 1.01);
}

static void check_black(const look *l)
{
    for (int32_t p = 0; p < l->pane.w * l->pane.h; p += 97)
        if (l->got->planes[0][p / l->pane.w * l->pane.stride + l->pane.x + p % l->pane.w] != 16)
            fail(l->where, l->frame, "a gap's brightness", l->got->planes[0][p], 16);
}

/* Frame f of shot i, the clip after `next` others. A mix begins at the cut: frame f of n is (f + 1/2) / n of what
 * comes. */
static void check_frame(const look *l, const show *s, const clockwork *c, size_t i, int f, tw_item *const *clips)
{
    const shot *now = &s->shots[i];
    if (now->reel == ' ') {
        check_black(l);
        return;
    }
    picture want = expect(clips[0], f, c);
    if (f < now->mix)
        compare_mixed(l, expect(clips[-1], s->shots[i - 1].frames + f, c), want, (f + 0.5) / now->mix);
    else
        compare(l, want);
}

#define DELIVERIES 2
static const char *const names[DELIVERIES] = {"tall", "wide"};

typedef struct reading {
    tw_media_reader *reader;
    tw_media_info info;
    tw_item **clips[DELIVERIES];
    pane panes[DELIVERIES];
    size_t panes_used;
} reading;

static void check_frames(tw_arena *arena, const show *s, const clockwork *c, reading *r)
{
    int64_t frame = 0;
    size_t next = 0;
    const tw_media_frame *got = NULL;
    for (size_t i = 0; i < s->count; i++) {
        for (int f = 0; f < s->shots[i].frames; f++, frame++) {
            need(tw_media_next(r->reader, &got) == TW_OK && got != NULL, "the preview is too short");
            for (size_t d = 0; d < r->panes_used; d++) {
                const char *where = tw_arena_printf(arena, "%s %s", s->name, names[d]).at;
                const look l = {where, got, r->panes[d], frame};
                check_frame(&l, s, c, i, f, r->clips[d] + next);
            }
        }
        next += s->shots[i].reel != ' ';
    }
    need(tw_media_next(r->reader, &got) == TW_OK && got == NULL, "the preview is too long");
}

/* Either both deliveries side by side, the tall one left, or the tall one alone. */
static void find_panes(reading *r, bool both)
{
    int32_t w = r->info.width, h = r->info.height;
    r->panes_used = both ? DELIVERIES : 1;
    if (!both) {
        r->panes[0] = (pane){0, w, h, w};
        return;
    }
    int32_t tall = h * 9 / 16 / 2 * 2, wide = (h * 16 / 9 + 1) / 2 * 2;
    need(tall + wide <= w, "the film is too narrow");
    r->panes[0] = (pane){0, tall, h, w};
    r->panes[1] = (pane){w - wide, wide, h, w};
}

static void check_preview(tw_arena *arena, const char *binary, const show *s, const clockwork *c)
{
    bool both = s->count > 1;
    tw_diags *diags = tw_diags_new(arena);
    reading r = {.reader = NULL};
    const tw_media_ask ask = {.count = 100000, .pixels = TW_PIXELS_YUV};
    const char *const side_by_side[] = {binary,    "preview", "cut.plan.json", "--media", "media", "--side-by-side",
                                        "--draft", "-o",      "out.mkv",       "-q",      NULL};
    const char *const alone[] = {binary, "preview", "cut.plan.json", "--media", "media", "--only",
                                 "tall", "-o",      "out.mkv",       "-q",      NULL};
    run(both ? side_by_side : alone, 0);
    need(tw_media_probe(arena, &tools, "out.mkv", diags, &r.info) == TW_OK, "no preview");
    need(tw_rate_eq(r.info.rate, c->rate) && r.info.has_start && r.info.drop == c->drop, "another rate or time code");
    find_panes(&r, both);
    for (size_t d = 0; d < r.panes_used; d++) {
        const tw_timeline *t = read_derived(arena, tw_arena_printf(arena, "derived/cut.%s.otio", names[d]).at);
        r.clips[d] = tw_timeline_clips(arena, t);
    }
    need(tw_media_open(arena, &tools, &r.info, &ask, diags, &r.reader) == TW_OK, "no preview");
    check_frames(arena, s, c, &r);
    tw_media_close(&r.reader);
}

static void check_show(const char *binary, const show *s)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    clockwork c = {.drop = false};
    int before = measured;
    worst = worst_mix = 0;
    need(tw_rate_read(tw_str_z(s->rate), &c.rate, &c.drop), "rate");
    tw_tc_read(TW_STR("00:59:59:10"), c.rate, c.drop, &c.media); /* over a minute that drops */
    mkdir("media", 0777);
    make_film(arena, &c, s->film_width, s->film_frames);
    write_edit(arena, s, &c);
    write_plan(arena, s, &c);
    run((const char *const[]){binary, "fork", "cut.plan.json", "-o", "derived", "-q", NULL}, 1);
    check_preview(arena, binary, s, &c);
    printf("%-6s %-11s %4d edges measured, worst %.3f source pixels off; mixes %.2f levels\n", s->name, s->rate,
           measured - before, worst, worst_mix);
    tw_arena_free(&arena);
}

int main(int argc, char **argv)
{
    need(argc == 3 && chdir(argv[2]) == 0, "usage: pixels BINARY FOLDER");
    for (size_t i = 0; i < sizeof shows / sizeof shows[0]; i++)
        check_show(argv[1], &shows[i]);
    printf("%d edges measured, %d failures\n", measured, failures);
    return failures > 0 || measured == 0;
}
