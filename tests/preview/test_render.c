/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "preview/preview_support.h"

#include <dirent.h>
#include <stdio.h>
#include <sys/stat.h>
#include <unistd.h>

typedef struct show {
    tw_timeline *edit;
    tw_preview_source sources[4];
    tw_media_info info;
    tw_media_file file;
    const tw_framing *framings[4];
    tw_preview_pane pane;
    tw_preview_film film;
    tw_preview_job job;
    const char *folder;
} show;

static size_t entries(const char *folder)
{
    size_t count = 0;
    DIR *dir = opendir(folder);
    assert_non_null(dir);
    while (readdir(dir) != NULL)
        count++;
    closedir(dir);
    return count - 2;
}

/* Numbered pictures 10 .. 29, then a gap, then 40 .. 49 with nothing to show them from. */
static show *make_show(tw_arena *arena, const char *name)
{
    show *s = TW_NEW(arena, show);
    s->edit = read_list(arena,
                        "001  A001 V C        00:00:00:10 00:00:01:06 00:00:00:00 00:00:00:20\n"
                        "002  B001 V C        00:00:01:16 00:00:02:02 00:00:01:06 00:00:01:16\n",
                        "24");
    const char *path = film_numbered(arena, "render.mov", "24", 60, "-c:v ffv1");
    assert_int_equal(tw_media_probe(arena, &film_tools, path, tw_diags_new(arena), &s->info), TW_OK);
    s->file = tw_media_file_of(&s->info, s->edit->rate);
    for (size_t i = 0; i < 4; i++)
        s->sources[i] = (tw_preview_source){.want = {.rate = s->edit->rate}, .squeeze = 1, .reel = TW_STR("B001")};
    s->sources[0].info = &s->info;
    s->sources[0].file = &s->file;
    s->folder = film_path(arena, name);
    mkdir(s->folder, 0777);
    s->pane = (tw_preview_pane){TW_STR("whole"), s->framings, 0, 0, FILM_WIDE, FILM_HIGH};
    s->film = (tw_preview_film){tw_arena_printf(arena, "%s/out.mkv", s->folder).at, FILM_WIDE, FILM_HIGH, &s->pane, 1};
    s->job = (tw_preview_job){.edit = s->edit,
                              .tools = &film_tools,
                              .sources = s->sources,
                              .films = &s->film,
                              .film_count = 1,
                              .sound = true};
    return s;
}

static void pictures(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    show *s = make_show(arena, "pictures");
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_preview_render(arena, &s->job, diags), TW_OK);
    assert_int_equal(tw_diags_kept(diags), 0);
    assert_int_equal(entries(s->folder), 1);
    tw_media_info info;
    tw_media_reader *reader;
    const tw_media_frame *frame;
    const tw_media_ask ask = {.count = 100, .pixels = TW_PIXELS_YUV};
    assert_int_equal(tw_media_probe(arena, &film_tools, s->film.path, diags, &info), TW_OK);
    assert_int_equal(info.frames, 40);
    assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
    for (int k = 0; k < 40; k++) {
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_non_null(frame);
        if (k < 20)
            assert_int_equal(film_number(frame), 10 + k);
        else /* black, then a slate */
            assert_int_equal(frame->planes[0][0], k < 30 ? 16 : 44);
    }
    tw_media_close(&reader);
}

static volatile sig_atomic_t asked;

static void ask_to_stop(void *context, int64_t done, int64_t all)
{
    (void)context;
    (void)all;
    asked = done >= 5;
}

/* Stopped, or refused by the system: nothing is left, and what was there before is as it was. */
static void nothing_left(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    show *s = make_show(arena, "stopped");
    tw_diags *diags = tw_diags_new(arena);
    tw_media_tools tools = film_tools;
    tools.stop = &asked;
    s->job.tools = &tools;
    s->job.progress = ask_to_stop;
    assert_int_equal(tw_preview_render(arena, &s->job, diags), TW_ERR_IO);
    assert_int_equal(tw_diags_kept(diags), 0);
    assert_int_equal(entries(s->folder), 0);
    asked = 0;
    s->job.progress = NULL;
    s->film.path = tw_arena_printf(arena, "%s/no/such/folder.mkv", s->folder).at;
    assert_int_equal(tw_preview_render(arena, &s->job, diags), TW_ERR_IO);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2112);
    assert_int_equal(entries(s->folder), 0);
}

static void put_in_the_way(void *context, int64_t done, int64_t all)
{
    (void)all;
    if (done == 30)
        assert_int_equal(mkdir(context, 0777), 0);
}

/* Of two films one cannot be put in its place: neither is, whether that shows before they are made or after. */
static void both_or_none(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    show *s = make_show(arena, "both");
    const char *first = s->film.path, *second = tw_arena_printf(arena, "%s/second.mkv", s->folder).at;
    const tw_preview_film films[] = {s->film, {second, FILM_WIDE, FILM_HIGH, &s->pane, 1}};
    s->job.films = films;
    s->job.film_count = 2;
    s->job.progress = put_in_the_way;
    s->job.progress_context = (void *)second;
    FILE *old = fopen(first, "wb");
    assert_true(old != NULL && fputs("old", old) >= 0 && fclose(old) == 0);
    for (int turn = 0; turn < 2; turn++) {
        tw_diags *diags = tw_diags_new(arena);
        tw_str text, why;
        assert_int_equal(tw_preview_render(arena, &s->job, diags), TW_ERR_IO);
        assert_int_equal(tw_diags_get(diags, 0)->code, 2112);
        tw_assert_holds(tw_diags_get(diags, 0)->message, "second.mkv: Is a directory");
        assert_int_equal(tw_file_read(arena, first, 1000, &text, &why), TW_OK);
        tw_assert_text(text, "old");
        assert_int_equal(entries(s->folder), 2);
        s->job.progress = NULL; /* the second time it is in the way from the start */
    }
    assert_int_equal(rmdir(second), 0);
    assert_int_equal(tw_preview_render(arena, &s->job, tw_diags_new(arena)), TW_OK);
    assert_int_equal(entries(s->folder), 2);
}

/* How a transition will look is said before anything is drawn, once for each kind. */
static void transition_told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    const tw_media_tools tools = {.ffmpeg = "no-such-ffmpeg"};
    tw_timeline *t = read_list(arena,
                               "001  A001 V C        00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n"
                               "002  A001 V C        00:00:02:00 00:00:02:00 00:00:02:00 00:00:02:00\n"
                               "002  B001 V W231 012 00:00:00:00 00:00:02:00 00:00:02:00 00:00:04:00\n",
                               "24");
    const tw_preview_source sources[4] = {{.squeeze = 1}};
    const tw_framing *framings[4] = {NULL};
    const tw_preview_pane pane = {TW_STR("whole"), framings, 0, 0, 16, 16};
    const tw_preview_film film = {film_path(arena, "told.mkv"), 16, 16, &pane, 1};
    const tw_preview_job job = {.edit = t, .tools = &tools, .sources = sources, .films = &film, .film_count = 1};
    assert_int_equal(tw_preview_render(arena, &job, diags), TW_ERR_IO);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2115);
    tw_assert_text(tw_diags_get(diags, 0)->message, "\"wipe 231\" is shown as a dissolve");
    assert_int_equal(tw_diags_get(diags, 1)->code, 2101);
}

TW_SUITE(render)
{
    const struct CMUnitTest tests[] = {TW_TEST(pictures), TW_TEST(nothing_left), TW_TEST(both_or_none),
                                       TW_TEST(transition_told)};
    return tw_run("preview/render", tests);
}
