// A C++17 client of the library that asks about the balance of a lift with the language's own means: owners that free,
// exceptions, and one balance shared by threads. Answers are compared with what Rust gets, by their length and hash.
//
//   balance DIRECTORY - - EXPECTED
//
// DIRECTORY holds the lift documents, EXPECTED what Rust answers (its own head says how to read it). A line is printed for
// what failed, then a closing line with the numbers; the exit status is 1 when anything failed.
#include <rigging.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>
#include <sstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

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

struct Failure : std::runtime_error {
    explicit Failure(const rigging_error &error)
        : std::runtime_error(error.message), code(error.code), place(error.place) {}
    int32_t code;
    std::string place;
};

// Calls a function that takes an error last, and throws what it reports.
template <typename Function, typename... Arguments>
void call(Function function, Arguments... arguments) {
    rigging_error error;
    rigging_error_init(&error, sizeof error);
    if (function(arguments..., &error) != RIGGING_OK) throw Failure(error);
}

// A handle is freed by its own function.
template <auto free>
struct Free {
    template <typename Handle>
    void operator()(Handle *handle) const {
        free(handle);
    }
};

using Lift = std::unique_ptr<rigging_lift, Free<rigging_lift_free>>;
using Balance = std::unique_ptr<rigging_balance, Free<rigging_balance_free>>;
using Answer = std::unique_ptr<rigging_answer, Free<rigging_answer_free>>;

Lift read_lift(const std::string &path) {
    std::ifstream file(path, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    rigging_lift *made = nullptr;
    call(rigging_lift_from_json, text.data(), text.size(), &made);
    return Lift(made);
}

Balance hang(const rigging_lift *lift) {
    rigging_balance *made = nullptr;
    call(rigging_lift_hang, lift, &made);
    return Balance(made);
}

// The answer of a question, its own arguments between the balance and the answer.
template <typename Function, typename... Arguments>
std::string ask(Function function, const rigging_balance *balance, Arguments... arguments) {
    rigging_answer *made = nullptr;
    call(function, balance, arguments..., &made);
    const Answer answer(made);
    rigging_text text;
    call(rigging_answer_text, static_cast<const rigging_answer *>(answer.get()), &text);
    return {text.data, text.length};
}

// FNV-1a (Fowler, Noll, Vo), 64 bits.
uint64_t fnv(std::string_view bytes) {
    uint64_t hash = 0xcbf29ce484222325u;
    for (const char byte : bytes) hash = (hash ^ static_cast<unsigned char>(byte)) * 0x100000001b3u;
    return hash;
}

// What Rust makes of one lift.
struct Expected {
    std::string document;
    std::string periods;
    size_t legs = 0;
    size_t rows = 0;
    std::map<std::string, std::pair<size_t, uint64_t>> answers;
};

std::vector<Expected> read_expected(const char *path) {
    std::vector<Expected> all;
    std::ifstream file(path);
    for (std::string line; std::getline(file, line);) {
        std::istringstream words(line);
        std::string key;
        words >> key >> std::ws;
        if (key == "lift") std::getline(words, all.emplace_back().document);
        if (all.empty()) continue;
        if (key == "periods") std::getline(words, all.back().periods);
        if (key == "row") ++all.back().rows;
        if (key == "tension") {
            for (std::string bits; words >> bits;) ++all.back().legs;
        }
        if (key == "answer") {
            std::string question;
            size_t bytes = 0;
            uint64_t hash = 0;
            words >> question >> bytes >> std::hex >> hash;
            all.back().answers[question] = {bytes, hash};
        }
    }
    return all;
}

std::map<std::string, std::string> answers(const rigging_balance *balance, const Expected &expected) {
    std::vector<double> allowed(expected.legs, 1e5);
    allowed.back() = std::nan("");
    std::vector<double> errors(expected.legs);
    for (size_t leg = 0; leg < errors.size(); ++leg) errors[leg] = (static_cast<double>(leg) - 1.0) / 1024.0;
    const size_t count = 6;
    return {
        {"derivatives", ask(rigging_balance_derivatives, balance)},
        {"margins", ask(rigging_balance_margins, balance)},
        {"losses", ask(rigging_balance_losses, balance, allowed.data(), allowed.size())},
        {"motions", ask(rigging_balance_motions, balance)},
        {"modes", ask(rigging_balance_modes, balance, count)},
        {"self_stress", ask(rigging_balance_self_stress, balance, 1e-9)},
        {"order", ask(rigging_balance_order, balance, errors.data(), errors.size(), 1e-9)},
        {"periods", ask(rigging_balance_periods, balance, expected.periods.data(), expected.periods.size(), count)},
        {"others", ask(rigging_balance_others, balance)},
    };
}

void one_lift(const std::string &directory, const Expected &expected) {
    const Balance balance = hang(read_lift(directory + expected.document).get());
    const auto found = answers(balance.get(), expected);
    CHECK(found.size() == 9 && expected.answers.size() == 9);
    for (const auto &[question, text] : found) {
        const auto &[bytes, hash] = expected.answers.at(question);
        CHECK(text.size() == bytes && fnv(text) == hash);
    }
    size_t rows = 0;
    call(rigging_balance_parameter_count, static_cast<const rigging_balance *>(balance.get()), &rows);
    CHECK(rows == expected.rows);
}

// The derivatives are made when they are first asked for, whichever thread that is.
void threads(const std::string &directory, const Expected &expected) {
    const Balance balance = hang(read_lift(directory + expected.document).get());
    std::vector<std::vector<double>> own(4, std::vector<double>(expected.rows * expected.legs));
    std::vector<std::thread> threads;
    for (auto &matrix : own) {
        threads.emplace_back([&] {
            call(rigging_balance_tension_matrix, static_cast<const rigging_balance *>(balance.get()), matrix.data(),
                 matrix.size());
        });
    }
    for (std::thread &thread : threads) thread.join();
    for (const auto &matrix : own) CHECK(matrix == own[0] && matrix[0] != 0.0);
}

void exceptions(const std::string &directory) {
    const Balance balance = hang(read_lift(directory + "frame-tall-item.json").get());
    int32_t code = RIGGING_OK;
    std::string place;
    try {
        const std::string_view one = R"({"inertias": [{"moments": [4, 5, 6]}]})";
        ask(rigging_balance_periods, balance.get(), one.data(), one.size(), size_t{6});
    } catch (const Failure &failure) {
        code = failure.code;
        place = failure.place;
    }
    CHECK(code == RIGGING_INCONSISTENT && place == "/inertias");
}

}  // namespace

int main(int count, char **arguments) {
    if (count < 5) {
        std::printf("usage: balance DIRECTORY - - EXPECTED\n");
        return 1;
    }
    try {
        const std::vector<Expected> all = read_expected(arguments[4]);
        CHECK(all.size() == 4);
        const std::string directory = std::string(arguments[1]) + "/";
        for (const Expected &expected : all) one_lift(directory, expected);
        threads(directory, all.back());
        exceptions(directory);
    } catch (const Failure &failure) {
        std::printf("%s: %s: %s\n", rigging_status_name(failure.code), failure.place.c_str(), failure.what());
        ++failed;
    }
    std::printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
