/* SPDX-License-Identifier: Apache-2.0
 *
 * Corruptions of derived files, each with the finding it must give. The files are those of fixtures/proof: one small edit
 * as a text list and as OpenTimelineIO, both delivered in both formats; as written they must be without a fault.
 */
#include "support/support.h"

#include <string.h>

#include <tallwide/derive.h>
#include <tallwide/formats.h>
#include <tallwide/proof.h>
#include <tallwide/recut.h>

/* A delivery made and written in memory. Masters: 'e' the list, 'o' the OTIO document; 's' is SMIL. */
typedef struct made {
    tw_arena *arena;
    tw_timeline *master, *derived;
    tw_plan *plan;
    tw_str master_bytes;
} made;

static const tw_format *format_of(char which)
{
    return tw_formats_named(which == 'e' ? TW_STR("edl") : which == 's' ? TW_STR("smil") : TW_STR("otio"));
}

/* `change`, when given, has its way with the plan before it is solved. */
static made make_changed(tw_arena *arena, char which, void (*change)(tw_arena *arena, tw_plan *plan))
{
    made m = {.arena = arena};
    tw_diags *diags = tw_diags_new(arena);
    m.master_bytes = tw_fixture(arena, which == 'e' ? "proof/truing.edl" : "proof/truing.otio");
    tw_str plan = tw_fixture(arena, which == 'e' ? "proof/truing.plan.json" : "proof/truing-otio.plan.json");
    const tw_read_options options = {.rate = {24, 1}};
    assert_int_equal(tw_formats_read(arena, m.master_bytes, TW_STR("master"), &options, diags, &m.master), TW_OK);
    assert_int_equal(tw_plan_read(arena, plan, TW_STR("plan"), m.master->rate, false, diags, &m.plan), TW_OK);
    if (change != NULL)
        change(arena, m.plan);
    tw_derived *derived;
    const tw_derive_options how = {.threads = 1};
    assert_int_equal(tw_derive(arena, m.plan, m.master, &how, diags, &derived), TW_OK);
    m.derived = tw_derive_timeline(arena, derived, 0, tw_str_hash(m.master_bytes));
    return m;
}

static made make(tw_arena *arena, char which)
{
    return make_changed(arena, which, NULL);
}

static tw_str write(const made *m, char format)
{
    const tw_write_options options = {.crlf = false};
    tw_buf out = {.arena = m->arena};
    assert_int_equal(format_of(format)->write(m->arena, m->derived, 0, &options, tw_diags_new(m->arena), &out), TW_OK);
    return tw_buf_str(&out);
}

/* Proves the two files; findings of reading them back are in the list as they are for `check`. */
static tw_diags *prove(const made *m, tw_str first, char first_format, tw_str second, tw_proof *proof)
{
    tw_diags *diags = tw_diags_new(m->arena);
    const char formats[] = {first_format, first_format == 'e' ? 'o' : 'e'};
    const tw_str texts[] = {first, second};
    const tw_read_options options = {.rate = {24, 1}};
    tw_proof_file files[2];
    for (size_t f = 0; f < 2; f++) {
        tw_timeline *written = NULL;
        files[f].name = formats[f] == 'e'   ? TW_STR("truing.tall.edl")
                        : formats[f] == 's' ? TW_STR("truing.tall.smil")
                                            : TW_STR("truing.tall.otio");
        files[f].part = 0;
        files[f].text = texts[f];
        if (format_of(formats[f])->read(m->arena, texts[f], files[f].name, &options, diags, &written) != TW_OK)
            return diags;
        files[f].written = written;
    }
    const tw_proof_input in = {.plan = m->plan,
                               .master = m->master,
                               .master_hash = tw_str_hash(m->master_bytes),
                               .files = files,
                               .file_count = 2};
    tw_proof_run(m->arena, &in, diags, proof);
    return diags;
}

static bool found(const tw_diags *diags, int code)
{
    for (size_t i = 0; i < tw_diags_kept(diags); i++)
        if (tw_diags_get(diags, i)->code == code)
            return true;
    return false;
}

static const char *short_findings(tw_arena *arena, const tw_diags *diags)
{
    return tw_arena_dupz(arena, tw_str_cut(tw_str_z(tw_findings(arena, diags)), 1200));
}

static void as_written(void **state)
{
    for (const char *which = "eo"; *which != '\0'; which++) {
        made m = make(tw_test_arena(state), *which);
        tw_proof proof;
        tw_diags *diags = prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof);
        tw_row((size_t)(*which), "as written");
        if (!proof.ok || tw_diags_count(diags, TW_WARNING) + tw_diags_count(diags, TW_ERROR) > 0)
            print_error("%s", tw_findings(m.arena, diags));
        assert_true(proof.ok && proof.cut_unchanged);
        assert_int_equal(proof.must_held_frames, proof.must_frames);
        assert_int_equal(proof.must_frames, 192); /* two clips of 96 frames with a must region throughout */
        assert_int_equal(proof.outside_frames, 0);
        assert_int_equal(proof.moving, 1);
    }
}

/* ---- text: the first `find` after `after` becomes `put` --------------------------------------------------- */

typedef struct edit {
    const char *name;
    char master, format; /* 'e' or 'o', the format also 's' */
    const char *after, *find, *put;
    int code;
} edit;

#define EVENT_2 "002  A003     V     C        11:03:20:00 11:03:24:00 01:00:02:00 01:00:06:00"
#define SOUND_3 "003  S003     A2    C        11:03:20:00 11:03:24:00 01:00:02:00 01:00:06:00"
#define EVENT_5                                                                                                        \
    "005  C002     V     C        13:21:04:00 13:21:08:00 01:00:10:00 01:00:12:00\n"                                   \
    "M2   C002           048.0                13:21:04:00\n"                                                           \
    "* FROM CLIP NAME:  C002 SPOKE KEY QUICK\n" FRAME_5
#define LIST_EVENT_5                                                                                                   \
    "005  C002     V     C        13:21:04:00 13:21:08:00 01:00:10:00 01:00:12:00\n"                                   \
    "M2   C002           048.0                13:21:04:00\n"                                                           \
    "* FROM CLIP NAME: C002\n* FROM CLIP: media/C002.mov\n" FRAME_5
#define FRAME_5 "* TALLWIDE FRAME 1080X1920 SOURCE 3840X2160\n* TALLWIDE KEY 0 X 1312.500 Y 0.000 W 1215.000 EASE 0\n"
#define WINDOW "\"effect_name\": \"tallwide.window\""

/* clang-format off */
static const edit edits[] = {
    /* a list from a list */
    {"record in a frame later, so a gap", 'e', 'e', "", "01:00:02:00 01:00:06:00", "01:00:02:01 01:00:06:00", 1703},
    {"a cut moved by a frame", 'e', 'e', "002 ", "11:03:24:00 01:00:02:00 01:00:06:00", "11:03:24:01 01:00:02:00 01:00:06:01", 1704},
    {"source a frame later", 'e', 'e', "", "11:03:20:00 11:03:24:00", "11:03:20:01 11:03:24:01", 1705},
    {"a clip gone", 'e', 'e', "", EVENT_5, "", 1703},
    {"a clip more", 'e', 'e', "TITLE: ", "007  S003", "008  A003     V     C        11:03:20:00 11:03:24:00 01:00:15:00 01:00:19:00\n007  S003", 1703},
    {"a sound clip gone", 'e', 'e', "", SOUND_3 "\n", "", 1708},
    {"sound moved by a frame", 'e', 'e', "", SOUND_3, "003  S003     A2    C        11:03:20:00 11:03:24:00 01:00:02:01 01:00:06:01", 1708},
    {"sound on another channel", 'e', 'e', "", "003  S003     A2 ", "003  S003     A  ", 1708},
    {"a speed changed", 'e', 'e', "", "048.0 ", "036.0 ", 1706},
    {"a speed gone", 'e', 'e', "", "M2   C002           048.0                13:21:04:00\n", "", 1706},
    {"a dissolve a frame shorter", 'e', 'e', "", "D    012", "D    011", 1707},
    {"a dissolve made a wipe", 'e', 'e', "", "D    012", "W001 012", 1707},
    {"a dissolve made a cut", 'e', 'e', "", "D    012", "C       ", 1211},
    {"a marker gone", 'e', 'e', "", "* LOC: 01:00:03:12 GREEN   NEEDLE SETTLES\n", "", 1710},
    {"a marker moved", 'e', 'e', "", "01:00:03:12 GREEN", "01:00:03:13 GREEN", 1710},
    {"a marker of another colour", 'e', 'e', "", "GREEN  ", "BLUE   ", 1710},
    {"a remark changed", 'e', 'e', "", "KEEP THE GAUGE", "KEEP THE GAUZE", 1711},
    {"a remark gone", 'e', 'e', "", "* COMMENT: KEEP THE GAUGE\n", "", 1711},
    {"a remark more", 'e', 'e', "", "* COMMENT: KEEP", "* COMMENT: OR NOT\n* COMMENT: KEEP", 1711},
    {"another source file", 'e', 'e', "", "A003_0003.MOV", "A003_0004.MOV", 1712},
    {"another reel", 'e', 'e', "", "002  A003 ", "002  A004 ", 1713},
    {"another event number", 'e', 'e', "", EVENT_2, "012  A003     V     C        11:03:20:00 11:03:24:00 01:00:02:00 01:00:06:00", 1713},
    {"another clip name", 'e', 'e', "", "A003 TRUING STAND", "A003 TRUING STEND", 1713},
    {"another title", 'e', 'e', "", "TITLE: TRUING 2", "TITLE: TRUING 3", 1713},
    {"another delivery's stamp", 'e', 'e', "", "TALLWIDE DELIVERY tall 1080X1920", "TALLWIDE DELIVERY wide 1080X1920", 1718},
    {"a stamp of another size", 'e', 'e', "", "TALLWIDE DELIVERY tall 1080X1920", "TALLWIDE DELIVERY tall 1080X1350", 1718},
    {"an older master", 'e', 'e', "MASTER ", "MASTER ", "MASTER 0", 1211},
    {"a framing remark damaged", 'e', 'e', "TALLWIDE KEY", "W 2430.000", "W 24E0.000", 1211},
    {"framed for another delivery", 'e', 'e', "", "FRAME 1080X1920 SOURCE 5760X4320", "FRAME 1080X1350 SOURCE 5760X4320", 1719},
    {"framed for another picture", 'e', 'e', "", "FRAME 1080X1920 SOURCE 5760X4320", "FRAME 1080X1920 SOURCE 5760X4322", 1719},
    {"shown whole", 'e', 'e', "", "SOURCE 5760X4320", "SOURCE 5760X4320 FIT", 1719},
    {"a graphic cropped", 'e', 'e', "", "X 0.000 Y -2333.333 W 3840.000", "X 1312.500 Y 0.000 W 1215.000", 1720},
    {"the window one pixel outside", 'e', 'e', EVENT_2, "Y 0.000", "Y 1.000", 1701},
    {"the window differs by a hundredth", 'e', 'e', EVENT_2, "X 1665.000", "X 1665.010", 1715},
    {"a key a frame later", 'e', 'e', "004  B001", "KEY ", "KEY 1", 1715},

    /* OpenTimelineIO from OpenTimelineIO */
    {"a clip shortened", 'o', 'o', "\"name\": \"B001\"", "\"value\": 96.0", "\"value\": 95.0", 1704},
    {"source a frame later", 'o', 'o', "\"name\": \"B001\"", "\"value\": 797880.0", "\"value\": 797881.0", 1705},
    {"a gap shortened", 'o', 'o', "\"OTIO_SCHEMA\": \"Gap.1\"", "\"value\": 48.0", "\"value\": 47.0", 1708},
    {"the programme starts later", 'o', 'o', "global_start_time", "\"value\": 86400.0", "\"value\": 86401.0", 1704},
    {"a speed changed", 'o', 'o', "", "\"time_scalar\": 2.0", "\"time_scalar\": 2.5", 1706},
    {"a dissolve longer", 'o', 'o', "Transition.1", "\"value\": 12.0", "\"value\": 13.0", 1707},
    {"a dissolve of another kind", 'o', 'o', "", "SMPTE_Dissolve", "Custom_Transition", 1707},
    {"a clip switched on", 'o', 'o', "Transition.1", "\"enabled\": false", "\"enabled\": true", 1709},
    {"a track switched off", 'o', 'o', "\"name\": \"A1\"", "\"enabled\": true", "\"enabled\": false", 1709},
    {"a marker renamed", 'o', 'o', "", "needle settles", "needle wanders", 1710},
    {"other media", 'o', 'o', "", "media/B001.mov", "media/B002.mov", 1712},
    {"a clip renamed", 'o', 'o', "", "\"name\": \"B001\"", "\"name\": \"B007\"", 1713},
    {"a track renamed", 'o', 'o', "", "\"name\": \"V1\"", "\"name\": \"V9\"", 1713},
    {"sound renamed", 'o', 'o', "", "\"name\": \"S003\"", "\"name\": \"S004\"", 1708},
    {"another program's data on a clip", 'o', 'o', "", "\"take\": 3", "\"take\": 4", 1714},
    {"another program's data lost", 'o', 'o', "", "\"cut\": \"fine\"", "", 1714},
    {"another delivery's stamp", 'o', 'o', "", "\"delivery\": \"tall\"", "\"delivery\": \"wide\"", 1718},
    {"an effect of ours without data", 'o', 'o', WINDOW, "\"version\": 1\n", "\"version\": 9\n", 1323},
    {"an effect switched off", 'o', 'o', WINDOW, "\"enabled\": true", "\"enabled\": false", 1732},
    {"an effect's name changed", 'o', 'o', "", "tallwide.window", "tallwide.windom", 1732},
    {"a window set outside", 'o', 'o', "\"name\": \"A003\"", "\"y\": 0.0", "\"y\": 2.0", 1701},
    {"a height that does not fit", 'o', 'o', "\"name\": \"A003\"", "\"h\": 4320.0", "\"h\": 4000.0", 1325},
    {"too narrow a window", 'o', 'o', "\"name\": \"A003\"", "\"w\": 2430.0", "\"w\": 1000.0", 1702},

    /* the other format of each */
    {"a list with another title", 'o', 'e', "", "TITLE: ", "TITLE: NOT ", 1713},
    {"a list that cuts in a frame later", 'o', 'e', "", "01:00:02:00 01:00:06:00", "01:00:02:01 01:00:06:00", 1703},
    {"a list that lost a clip", 'o', 'e', "", LIST_EVENT_5, "", 1703},
    {"a list with another source", 'o', 'e', "", "11:03:20:00 11:03:24:00", "11:03:22:00 11:03:26:00", 1705},
    {"a list with another speed", 'o', 'e', "", "048.0 ", "024.0 ", 1706},
    {"a list that lost its marker", 'o', 'e', "", "* LOC: 01:00:03:12 GREEN   needle settles\n", "", 1710},
    {"a list that lost sound", 'o', 'e', "", "003  S003     A     C        11:03:20:00 11:03:24:00 01:00:02:00 01:00:06:00\n", "", 1708},
    {"a document moved by a frame", 'e', 'o', "\"name\": \"B001 WALKS TO THE HOOK\"", "\"value\": 96.0", "\"value\": 95.0", 1704},
    {"a document with another source", 'e', 'o', "\"name\": \"B001 WALKS TO THE HOOK\"", "\"value\": 797880.0", "\"value\": 797882.0", 1705},
    {"a scale that does not go with its width", 'o', 'o', "\"name\": \"A003\"", "\"scale\": 0.4444444444444444", "\"scale\": 0.5", 1325},

    /* what players of SMIL obey */
    {"a first window elsewhere", 'o', 's', "title=\"A003\"", "panZoom=\"1665,", "panZoom=\"1666,", 1714},
    {"a move that ends elsewhere", 'e', 's', "<animate ", "to=\"", "to=\"1", 1714},
    {"a move that takes longer", 'o', 's', "<animate ", "dur=\"", "dur=\"1", 1714},
    {"a move gone", 'o', 's', "<animate ", "attributeName=\"panZoom\"", "attributeName=\"left\"", 1714},
    {"a clip that plays longer", 'e', 's', "title=\"A003 TRUING STAND\"", "dur=\"4.000s\"", "dur=\"4.042s\"", 1714},
    {"a clip from another place in its file", 'o', 's', "title=\"A003\"", "clipBegin=\"npt=", "clipBegin=\"npt=1", 1714},
    {"a clip's exact source in", 'o', 's', "title=\"A003\"", "name=\"source-in\" value=\"", "name=\"source-in\" value=\"1", 1705},
    {"a clip's exact length", 'e', 's', "title=\"A003 TRUING STAND\"", "name=\"record-out\" value=\"", "name=\"record-out\" value=\"9", 1704},
    {"a gap that plays shorter", 'o', 's', "", "begin=\"", "begin=\"0", 1714},
    {"a stage of another size", 'o', 's', "", "<root-layout width=\"1080\"", "<root-layout width=\"1081\"", 1718},
    {"windows not scaled to the stage", 'o', 's', "", "fit=\"fill\"", "fit=\"hidden\"", 1714},
    {"a dissolve that plays longer", 'o', 's', "<transition ", "dur=\"0", "dur=\"1", 1714},
    {"a dissolve that plays as a cut", 'o', 's', "", " transIn=\"t1\"", "", 1714},
    {"another title", 'e', 's', "name=\"title\"", "content=\"", "content=\"NOT ", 1713},
    {"a param of a key a pixel off", 'o', 's', "title=\"A003\"", "value=\"0 1665.000", "value=\"0 1666.000", 1715},
    {"a document with a window off", 'e', 'o', "\"name\": \"A003 TRUING STAND\"", "\"x\": 1665.0", "\"x\": 1665.002", 1715},
};
/* clang-format on */

static void corrupted_texts(void **state)
{
    int bad = 0;
    for (size_t i = 0; i < sizeof edits / sizeof edits[0]; i++) {
        const edit *e = &edits[i];
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        made m = make(arena, e->master);
        tw_proof proof = {.ok = true};
        tw_str good = write(&m, e->format == 'e' ? 'o' : 'e');
        tw_diags *diags =
            prove(&m, tw_replaced(arena, write(&m, e->format), e->after, e->find, e->put), e->format, good, &proof);
        if (!found(diags, e->code)) {
            print_error("row \"%s\" (%c from %c) must give TW%d, but gives\n%s\n", e->name, e->format, e->master,
                        e->code, short_findings(arena, diags));
            bad++;
        }
        tw_arena_free(&arena);
    }
    print_message("%zu corruptions of text\n", sizeof edits / sizeof edits[0]);
    assert_int_equal(bad, 0);
}

/* ---- framings: changed in both formats before they are written -------------------------------------------- */

static void shift_all(tw_framing *f, double dx, double dy)
{
    for (size_t k = 0; k < f->key_count; k++) {
        f->keys[k].cx += dx;
        f->keys[k].cy += dy;
    }
}

static void outside_left(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    shift_all(f, 1215 - 1 - f->keys[0].cx, 0);
}

static void outside_right(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    shift_all(f, 5760 - 1215 + 1 - f->keys[0].cx, 0);
}

static void outside_above(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    shift_all(f, 0, -1);
}

/* The same window but at frame 40, where it becomes `odd`. */
static void one_frame(tw_arena *arena, tw_framing *f, tw_key odd)
{
    tw_key was = f->keys[0];
    f->keys = TW_NEW_N(arena, tw_key, 3);
    f->key_count = 3;
    for (int64_t k = 0; k < 3; k++) {
        f->keys[k] = k == 1 ? odd : was;
        f->keys[k].frame = 39 + k;
        f->keys[k].ease = 0;
    }
}

static void outside_once(tw_arena *arena, tw_framing *f)
{
    tw_key odd = f->keys[0];
    odd.cx = 1214;
    one_frame(arena, f, odd);
}

static void must_lost_once(tw_arena *arena, tw_framing *f)
{
    tw_key odd = f->keys[0];
    odd.cx = 2304 + 1215 + 1; /* the gauge begins at 0.4 * 5760 = 2304: a pixel of it is cut */
    one_frame(arena, f, odd);
}

static void over_scale_once(tw_arena *arena, tw_framing *f)
{
    tw_key odd = f->keys[0];
    odd.w = 1079;
    one_frame(arena, f, odd);
}

static void must_lost(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    shift_all(f, 5760 - 1215 - f->keys[0].cx, 0);
}

static void over_scale(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    f->keys[0].w = 1079;
}

static void too_fast(tw_arena *arena, tw_framing *f)
{
    tw_key odd = f->keys[0];
    odd.cx += 300; /* 300 px in a frame of 1/24 s are 2.96 of its 2430 px a second */
    one_frame(arena, f, odd);
}

static void too_harsh(tw_arena *arena, tw_framing *f)
{
    tw_key was =
        f->keys[0]; /* 60 px a frame from one frame to the next: 14 of its 2430 px a second squared, but slow */
    one_frame(arena, f, was);
    f->keys[1].frame = 45;
    f->keys[1].cx += 360;
    f->keys[2].frame = 60;
    f->keys[2].cx += 360;
}

static void corners_overlap(tw_arena *arena, tw_framing *f)
{
    one_frame(arena, f, f->keys[0]);
    f->keys[0].ease = f->keys[1].ease = 0.75;
}

static void keys_outside(tw_arena *arena, tw_framing *f)
{
    one_frame(arena, f, f->keys[0]);
    f->keys[2].frame = 5000;
}

static void no_keys_left(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    f->mode = TW_FRAME_FIT;
}

static void other_squeeze(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    f->squeeze = 2;
}

static const struct {
    const char *name;
    void (*bend)(tw_arena *arena, tw_framing *f);
    int code;
} bends[] = {
    {"a pixel outside on the left", outside_left, 1701},
    {"a pixel outside on the right", outside_right, 1701},
    {"a pixel outside above", outside_above, 1701},
    {"a pixel outside in one frame", outside_once, 1701},
    {"must lost in one frame", must_lost_once, 1723},
    {"must lost throughout", must_lost, 1723},
    {"past the limit in one frame between keys", over_scale_once, 1702},
    {"past the limit throughout", over_scale, 1702},
    {"faster than the limit in one frame", too_fast, 1726},
    {"at once at full speed", too_harsh, 1737},
    {"corners that overlap", corners_overlap, 1717},
    {"a key after the clip", keys_outside, 1728},
    {"whole instead of filled", no_keys_left, 1719},
    {"for another squeeze", other_squeeze, 1719},
};

static void bent_framings(void **state)
{
    int bad = 0;
    for (size_t i = 0; i < sizeof bends / sizeof bends[0]; i++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        made m = make(arena, i % 2 == 0 ? 'e' : 'o');
        tw_item **clips = tw_timeline_clips(arena, m.derived);
        bends[i].bend(arena, clips[1]->framing); /* the second clip: reel A003, still */
        tw_proof proof = {.ok = true};
        tw_diags *diags = prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof);
        if (!found(diags, bends[i].code) || found(diags, 1715)) {
            print_error("bend \"%s\" must give TW%d, but gives\n%s\n", bends[i].name, bends[i].code,
                        short_findings(arena, diags));
            bad++;
        }
        tw_arena_free(&arena);
    }
    assert_int_equal(bad, 0);
}

/* ---- a window set by hand ----------------------------------------------------------------------------------- */

/* The first second of A003 at 900 px, past the limit of 1080; the rest of it as solved. */
static void set_by_hand(tw_arena *arena, tw_plan *plan)
{
    tw_note *note = &plan->notes[0];
    note->window = TW_NEW(arena, tw_hand_key);
    *note->window = (tw_hand_key){.frame = note->in + 24, .x = 2400, .y = 1600, .w = 900};
    note->window_count = 1;
    note->out = note->in + 48;
}

static void two_pixels(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    shift_all(f, 2, 0);
}

/* Held up to the end of the clip, which nobody asked for. */
static void held_on(tw_arena *arena, tw_framing *f)
{
    (void)arena;
    f->key_count = 1;
}

/* Led back over the three seconds left, where 1.2 seconds are a move. */
static void led_slowly(tw_arena *arena, tw_framing *f)
{
    tw_key from = f->keys[0], to = f->keys[f->key_count - 1];
    f->keys = TW_NEW_N(arena, tw_key, 2);
    f->key_count = 2;
    f->keys[0] = from;
    f->keys[0].frame = 23;
    f->keys[0].ease = 0;
    f->keys[1] = to;
    f->keys[1].w = 1085;
    f->keys[1].frame = 95;
    f->keys[1].ease = 0;
}

static void windows_by_hand(void **state)
{
    static const struct {
        const char *name;
        void (*bend)(tw_arena *arena, tw_framing *f);
        int code;
    } rows[] = {
        {"as derived", NULL, 0},
        {"two pixels off", two_pixels, 1738},
        {"held on", held_on, 1702},
        {"led back slowly", led_slowly, 1702},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        made m = make_changed(arena, i % 2 == 0 ? 'e' : 'o', set_by_hand);
        tw_framing *f = tw_timeline_clips(arena, m.derived)[1]->framing;
        tw_row(i, rows[i].name);
        assert_true(f->key_count > 1);
        if (rows[i].bend != NULL)
            rows[i].bend(arena, f);
        tw_proof proof;
        tw_diags *diags = prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof);
        if (proof.ok != (rows[i].code == 0) || (rows[i].code != 0 && !found(diags, rows[i].code)))
            fail_msg("%s: %s", rows[i].name, short_findings(arena, diags));
    }
}

/* Both clips of one reel agreed on as derived: a window a pixel on is another framing. */
static void agreed_on(void **state)
{
    for (int moved = 0; moved < 2; moved++) {
        tw_arena *arena = tw_test_arena(state);
        made m = make(arena, 'o');
        tw_note *note = &m.plan->notes[0];
        tw_item *clip = tw_timeline_clips(arena, m.derived)[1];
        const tw_note_use use = {note, clip};
        tw_recut_agree(arena, m.derived, m.plan->deliveries[0].name, &use, 1, (tw_json *)note->json, TW_STR("dana"));
        note->state = TW_STR("agreed");
        shift_all(clip->framing, moved, 0);
        tw_proof proof;
        tw_diags *diags = prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof);
        assert_int_equal(found(diags, 1739), moved == 1);
        assert_true(proof.ok);
        if (moved == 1)
            assert_non_null(strstr(tw_findings(arena, diags), "is not one agreed on in note n001 by dana"));
    }
}

/* Older plan or master: the hashes of the stamp tell. A doubled effect: the document does. */
static void stamps_and_doubles(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    made m = make(arena, 'o');
    tw_proof proof;
    m.derived->stamp->plan_hash++;
    assert_true(found(prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof), 1722));
    m = make(arena, 'o');
    m.derived->stamp->master_hash++;
    assert_true(found(prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof), 1722));
    m = make(arena, 'e');
    m.derived->stamp = NULL;
    assert_true(found(prove(&m, write(&m, 'e'), 'e', write(&m, 'o'), &proof), 1721));
    m = make(arena, 'o');
    tw_str text = write(&m, 'o');
    size_t from = tw_find(text, "\"effects\": [", tw_find(text, "\"name\": \"A003\"", 0)) + 12;
    size_t to = tw_find(text, "\n                        ]", from);
    tw_buf twice = {.arena = arena};
    tw_buf_add(&twice, tw_str_cut(text, to));
    tw_buf_addc(&twice, ',');
    tw_buf_add(&twice, tw_str_cut(tw_str_from(text, from), to - from));
    tw_buf_add(&twice, tw_str_from(text, to));
    tw_diags *diags = prove(&m, tw_buf_str(&twice), 'o', write(&m, 'e'), &proof);
    assert_true(found(diags, 1716));
}

TW_SUITE(mutations)
{
    const struct CMUnitTest tests[] = {TW_TEST(as_written),      TW_TEST(corrupted_texts), TW_TEST(bent_framings),
                                       TW_TEST(windows_by_hand), TW_TEST(agreed_on),       TW_TEST(stamps_and_doubles)};
    return tw_run("proof/mutations", tests);
}
