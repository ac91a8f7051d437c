// A C++17 client of the library: the same boundary, held by the language's own means. It prints what failed and a
// closing line with the numbers, and exits with 1 when anything failed.
#include <rigging.h>

#include <cstdio>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>
#include <type_traits>
#include <vector>

// Symbols for tests of the boundary; they are in no header.
struct rigging_hidden_note;
extern "C" {
int32_t rigging_hidden_panic(rigging_error *error);
int32_t rigging_hidden_note_new(const char *text, size_t length, rigging_hidden_note **note, rigging_error *error);
int32_t rigging_hidden_note_text(const rigging_hidden_note *note, char *buffer, size_t capacity, size_t *length,
                                 rigging_error *error);
void rigging_hidden_note_free(rigging_hidden_note *note);
}

static_assert(std::is_standard_layout<rigging_error>::value, "the struct crosses as it is");
static_assert(offsetof(rigging_error, message) == 8, "the first two fields never move");

namespace {

int passed = 0;
int failed = 0;

void check(bool holds, int line, const char *what) {
    if (holds) {
        ++passed;
    } else {
        ++failed;
        std::printf("%s:%d: %s\n", __FILE__, line, what);
    }
}
#define CHECK(condition) check((condition), __LINE__, #condition)

class Failure : public std::runtime_error {
public:
    explicit Failure(const rigging_error &error) : std::runtime_error(error.message), code(error.code) {}
    int32_t code;
};

class Error {
public:
    Error() { rigging_error_init(&error, sizeof error); }
    operator rigging_error *() { return &error; }
    void raise_unless(bool success) const {
        if (!success) throw Failure(error);
    }

private:
    rigging_error error;
};

class Note {
public:
    explicit Note(std::string_view text) {
        Error error;
        rigging_hidden_note *made = nullptr;
        error.raise_unless(rigging_hidden_note_new(text.data(), text.size(), &made, error) == RIGGING_OK);
        note.reset(made);
    }

    std::string text() const {
        Error error;
        size_t length = 0;
        error.raise_unless(rigging_hidden_note_text(note.get(), nullptr, 0, &length, error) == RIGGING_OK);
        std::string text(length, '\0');
        error.raise_unless(rigging_hidden_note_text(note.get(), &text[0], length + 1, &length, error) == RIGGING_OK);
        return text;
    }

private:
    struct Free {
        void operator()(rigging_hidden_note *note) const { rigging_hidden_note_free(note); }
    };
    std::unique_ptr<rigging_hidden_note, Free> note;
};

void handles() {
    const Note note("shared by threads");
    CHECK(note.text() == "shared by threads");
    std::vector<int> same(4, 0);
    std::vector<std::thread> threads;
    for (int &one : same) {
        threads.emplace_back([&note, &one] {
            int count = 0;
            for (int i = 0; i < 1000; ++i) count += note.text() == "shared by threads";
            one = count;
        });
    }
    for (std::thread &thread : threads) thread.join();
    for (int count : same) CHECK(count == 1000);
}

void exceptions() {
    int32_t code = RIGGING_OK;
    std::string what;
    try {
        const Note note(std::string_view("\xFF", 1));
    } catch (const Failure &failure) {
        code = failure.code;
        what = failure.what();
    }
    CHECK(code == RIGGING_NOT_UTF8);
    CHECK(what == "the argument text is not UTF-8");
    Error error;
    CHECK(rigging_hidden_panic(error) == RIGGING_INTERNAL);
}

}  // namespace

int main() {
    CHECK(rigging_abi_version() == RIGGING_ABI_VERSION);
    CHECK(std::string(rigging_status_name(RIGGING_UNKNOWN_KEY)) == "unknown_key");
    handles();
    exceptions();
    std::printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
