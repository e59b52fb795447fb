/* SPDX-License-Identifier: Apache-2.0
 *
 * Options from tables: parsing and help come from the same rows.
 */
#include "cmd.h"

#include <stdio.h>
#include <string.h>

static const option common[] = {
    {"--json", 0, OPTION_FLAG, offsetof(settings, json), NULL, "print JSON instead of text"},
    {"--quiet", 'q', OPTION_FLAG, offsetof(settings, quiet), NULL, "errors only"},
    {"--verbose", 'v', OPTION_FLAG, offsetof(settings, verbose), NULL, "notes, and what else is only counted"},
    {"--help", 'h', OPTION_FLAG, offsetof(settings, help), NULL, "this help"},
    {NULL, 0, OPTION_FLAG, 0, NULL, NULL},
};

/* ---- parsing --------------------------------------------------------------------------------------------- */

bool opt_size(const char *word, named_size *out)
{
    tw_str s = tw_str_z(word);
    const char *equals = strchr(word, '=');
    *out = (named_size){.name = {NULL, 0}};
    if (equals != NULL) {
        out->name = tw_str_cut(s, (size_t)(equals - word));
        s = tw_str_from(s, out->name.len + 1);
    }
    if ((equals == NULL || out->name.len > 0) && tw_size_read(s, &out->size))
        return true;
    say_error("\"%s\" is no size: write pixels as 1080x1920, or with a name as tall=1080x1920%s", word,
              tw_str_holds(s, TW_STR(",")) ? ", each by itself" : "");
    return false;
}

static bool set_sizes(cli *app, const option *o, const char *value)
{
    named_size entry;
    if (!opt_size(value, &entry))
        return false;
    named_sizes *list = (named_sizes *)(void *)((char *)&app->set + o->offset);
    TW_PUSH(app->arena, list->at, list->len, list->cap) = entry;
    return true;
}

static bool add_text(cli *app, const option *o, const char *value)
{
    text_list *list = (text_list *)(void *)((char *)&app->set + o->offset);
    TW_PUSH(app->arena, list->at, list->len, list->cap) = value;
    return true;
}

static bool set_count(cli *app, const option *o, const char *value)
{
    int64_t *count = (int64_t *)(void *)((char *)&app->set + o->offset);
    if (tw_num_int(tw_str_z(value), count) && *count >= 1 && *count <= 1000)
        return true;
    say_error("%s takes a whole number from 1 to 1000, not \"%s\"", o->name, value);
    return false;
}

static bool set_number(cli *app, const option *o, const char *value)
{
    double *number = (double *)(void *)((char *)&app->set + o->offset);
    if (tw_num_double(tw_str_z(value), number) && *number >= 0.01 && *number <= 100)
        return true;
    say_error("%s takes a number from 0.01 to 100, not \"%s\"", o->name, value);
    return false;
}

static bool set_value(cli *app, const option *o, const char *value)
{
    char *field = (char *)&app->set + o->offset;
    switch (o->kind) {
    case OPTION_FLAG: *(bool *)(void *)field = true; return true;
    case OPTION_TEXT: *(const char **)(void *)field = value; return true;
    case OPTION_TEXTS: return add_text(app, o, value);
    case OPTION_COUNT: return set_count(app, o, value);
    case OPTION_NUMBER: return set_number(app, o, value);
    case OPTION_SIZES: return set_sizes(app, o, value);
    case OPTION_RATE:
        if (tw_rate_read(tw_str_z(value), &app->set.rate, &app->set.drop))
            return true;
        say_error("%s takes a rate such as 24, 25/1, 30000/1001 or 29.97df, not \"%s\"", o->name, value);
        return false;
    }
    return false;
}

static const option *find_in(const option *rows, tw_str name, char letter)
{
    for (; rows != NULL && rows->name != NULL; rows++)
        if ((letter != 0 && rows->letter == letter) || (letter == 0 && tw_str_is(name, rows->name)))
            return rows;
    return NULL;
}

static const option *find(const cli *app, tw_str name, char letter)
{
    const option *o = find_in(app->command->options, name, letter);
    return o != NULL ? o : find_in(common, name, letter);
}

static const char *meant_in(const option *rows, tw_str name, size_t *least, const char *meant)
{
    for (; rows->name != NULL; rows++)
        if (tw_str_is_nearer(tw_str_from(name, 2), tw_str_z(rows->name + 2), least))
            meant = rows->name;
    return meant;
}

static void say_no_option(const cli *app, const char *word, tw_str name)
{
    size_t least = TW_NO_SLIP;
    const char *meant = meant_in(app->command->options, name, &least, NULL);
    meant = meant_in(common, name, &least, meant);
    if (meant != NULL)
        say_error("`%s` has no option %s; did you mean %s?", app->command->name, word, meant);
    else
        say_error("`%s` has no option %s; `tallwide %s -h` lists them", app->command->name, word, app->command->name);
}

/* One word that starts with '-'; *i is moved past a value taken from the next word. */
static bool parse_option(cli *app, int argc, char **argv, int *i)
{
    const char *word = argv[*i], *value = NULL;
    tw_str name = tw_str_z(word);
    bool is_long = word[1] == '-';
    const char *equals = is_long ? strchr(word, '=') : NULL;
    if (equals != NULL) {
        name = tw_str_cut(name, (size_t)(equals - word));
        value = equals + 1;
    }
    const option *o = find(app, name, is_long ? 0 : word[1]);
    if (o == NULL) {
        say_no_option(app, word, name);
        return false;
    }
    if (!is_long && word[2] != '\0')
        value = word + 2;
    if (o->kind == OPTION_FLAG) {
        if (value != NULL)
            say_error("%s takes no value, but \"%s\" was given", o->name, value);
        return value == NULL && set_value(app, o, NULL);
    }
    if (value == NULL && *i + 1 < argc)
        value = argv[++*i];
    if (value == NULL) {
        say_error("%s needs %s after it", o->name, o->value);
        return false;
    }
    return set_value(app, o, value);
}

static const char *usage_of(tw_arena *arena, const command *c)
{
    return tw_arena_printf(arena, "tallwide %s%s%s [options]", c->name, c->arguments[0] != '\0' ? " " : "",
                           c->arguments)
        .at;
}

static bool right_count(const cli *app)
{
    const command *c = app->command;
    if (app->set.help || (app->arg_count >= c->least && app->arg_count <= c->most))
        return true;
    if (app->arg_count > c->most)
        say_error("\"%s\" is one too many: %s; `tallwide %s -h` explains", app->args[c->most], usage_of(app->arena, c),
                  c->name);
    else
        say_error("usage: %s; `tallwide %s -h` explains", usage_of(app->arena, c), c->name);
    return false;
}

bool opt_parse(cli *app, int argc, char **argv)
{
    app->args = TW_NEW_N(app->arena, const char *, (size_t)argc);
    bool options = true;
    for (int i = 2; i < argc; i++) {
        if (options && strcmp(argv[i], "--") == 0)
            options = false;
        else if (options && argv[i][0] == '-' && argv[i][1] != '\0') {
            if (!parse_option(app, argc, argv, &i))
                return false;
        } else
            app->args[app->arg_count++] = argv[i];
    }
    return right_count(app);
}

/* ---- help ------------------------------------------------------------------------------------------------ */

void opt_row(size_t start, int column, const char *help, tw_buf *out)
{
    int used = (int)(out->len - start);
    if (used + 1 < column)
        tw_buf_fill(out, ' ', (size_t)(column - used));
    else {
        tw_buf_addc(out, '\n');
        tw_buf_fill(out, ' ', (size_t)column);
    }
    say_wrapped(tw_str_z(help), column, say_width(), out);
    tw_buf_addc(out, '\n');
}

static void help_options(const option *rows, tw_buf *out)
{
    for (; rows->name != NULL; rows++) {
        size_t start = out->len;
        tw_buf_addz(out, "  ");
        if (rows->letter != 0)
            tw_buf_addf(out, "-%c, ", rows->letter);
        tw_buf_addz(out, rows->name);
        if (rows->value != NULL)
            tw_buf_addf(out, " %s", rows->value);
        opt_row(start, 28, rows->help, out);
    }
}

static void help_text(const char *text, tw_buf *out)
{
    say_wrapped(tw_str_z(text), 0, say_width(), out);
    tw_buf_addc(out, '\n');
}

void opt_help(const command *c, tw_buf *out)
{
    tw_buf_addf(out, "usage: %s\n\n", usage_of(out->arena, c));
    help_text(c->summary, out);
    if (c->details != NULL) {
        tw_buf_addc(out, '\n');
        help_text(c->details, out);
    }
    tw_buf_addz(out, "\noptions:\n");
    help_options(c->options, out);
    help_options(common, out);
    tw_buf_addc(out, '\n');
    help_text("exit codes: 0 fine, 1 findings or differences, 2 usage, 3 bad input, 4 files, 5 our fault", out);
}

void opt_overview(tw_buf *out)
{
    tw_buf_addz(out, "usage: tallwide COMMAND [options]\n\n");
    help_text("One master edit in; one derived timeline per delivery out, each clip placed and scaled.", out);
    tw_buf_addz(out, "\ncommands:\n");
    for (size_t i = 0; cmd_at(i) != NULL; i++) {
        size_t start = out->len;
        tw_buf_addf(out, "  %s %s", cmd_at(i)->name, cmd_at(i)->arguments);
        opt_row(start, 24, cmd_at(i)->summary, out);
    }
    tw_buf_addc(out, '\n');
    help_text(
        "`tallwide COMMAND -h` explains one, `tallwide help plan` what may stand in a plan; `tallwide --version` says"
        " which this is.",
        out);
}
