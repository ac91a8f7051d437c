// A C++17 client of the library that does the main job with the language's own means: owners that free, exceptions, and
// one lift shared by threads. Tensions are compared bit for bit with those of Rust.
//
//   first_light DIRECTORY EXPECTED
//
// DIRECTORY holds the lift documents, EXPECTED what Rust makes of them (its own head says how to read it). A line is
// printed for what failed, then a closing line with the numbers; the exit status is 1 when anything failed.
#include <rigging.h>

#include <cstdio>
#include <cstring>
#include <fstream>
#include <iterator>
#include <memory>
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

// A document in two calls.
template <typename Function, typename Handle>
std::string document(Function function, const Handle *handle) {
    size_t length = 0;
    call(function, handle, static_cast<char *>(nullptr), size_t{0}, &length);
    std::string text(length, '\0');
    call(function, handle, &text[0], length + 1, &length);
    return text;
}

template <auto free>
struct Free {
    template <typename Handle>
    void operator()(Handle *handle) const {
        free(handle);
    }
};

using Lift = std::unique_ptr<rigging_lift, Free<rigging_lift_free>>;
using RuleSet = std::unique_ptr<rigging_rule_set, Free<rigging_rule_set_free>>;
using Certificate = std::unique_ptr<rigging_certificate, Free<rigging_certificate_free>>;
using Assessment = std::unique_ptr<rigging_assessment, Free<rigging_assessment_free>>;

std::string_view view(rigging_text text) { return {text.data, text.length}; }

Lift read_lift(std::string_view text) {
    rigging_lift *made = nullptr;
    call(rigging_lift_from_json, text.data(), text.size(), &made);
    return Lift(made);
}

RuleSet built_in(std::string_view name) {
    rigging_rule_set *made = nullptr;
    call(rigging_rule_set_built_in, name.data(), name.size(), &made);
    return RuleSet(made);
}

std::vector<double> tensions(const rigging_lift *lift) {
    rigging_certificate *made = nullptr;
    call(rigging_lift_solve, lift, &made);
    const Certificate certificate(made);
    rigging_certificate_figures figures;
    rigging_certificate_figures_init(&figures, sizeof figures);
    call(rigging_certificate_tell, certificate.get(), &figures);
    std::vector<double> tensions(figures.member_count);
    call(rigging_certificate_tensions, certificate.get(), tensions.data(), tensions.size());
    return tensions;
}

Assessment assess(const rigging_lift *lift, const rigging_rule_set *rules) {
    rigging_assessment *made = nullptr;
    call(rigging_lift_assess, lift, rules, &made);
    return Assessment(made);
}

int32_t verdict(const rigging_assessment *assessment) {
    int32_t verdict = -1;
    call(rigging_assessment_verdict, assessment, &verdict);
    return verdict;
}

// What Rust makes of one lift.
struct Expected {
    std::string document;
    int32_t verdict = -1;
    std::vector<uint64_t> tensions;
    std::string report;
};

std::vector<Expected> read_expected(const char *path) {
    std::vector<Expected> all;
    std::ifstream file(path);
    for (std::string line; std::getline(file, line);) {
        const size_t space = line.find(' ');
        if (line.empty() || line[0] == '#' || space == std::string::npos) continue;
        const std::string key = line.substr(0, space);
        const std::string value = line.substr(space + 1);
        if (key == "lift") all.emplace_back().document = value;
        if (all.empty()) continue;
        if (key == "verdict") all.back().verdict = std::stoi(value);
        if (key == "tension") all.back().tensions.push_back(std::stoull(value, nullptr, 16));
        if (key == "report") all.back().report = value;
    }
    return all;
}

std::string read_file(const std::string &path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<uint64_t> bits(const std::vector<double> &values) {
    std::vector<uint64_t> bits(values.size());
    std::memcpy(bits.data(), values.data(), values.size() * sizeof(double));
    return bits;
}

void one_lift(const std::string &text, const rigging_rule_set *rules, const Expected &expected) {
    const Lift lift = read_lift(text);
    CHECK(expected.tensions.size() == 4 && bits(tensions(lift.get())) == expected.tensions);
    const Assessment assessment = assess(lift.get(), rules);
    CHECK(verdict(assessment.get()) == expected.verdict);
    const std::string report = document(rigging_assessment_report, assessment.get());
    CHECK(report.substr(0, report.find('\n')) == expected.report);
    const std::string written = document(rigging_lift_to_json, lift.get());
    CHECK(document(rigging_lift_to_json, read_lift(written).get()) == written);

    // The assessment outlives what it was made from; its texts are its own.
    rigging_lift *second = nullptr;
    call(rigging_lift_from_json, text.data(), text.size(), &second);
    const Assessment kept = assess(second, rules);
    rigging_lift_free(second);
    CHECK(document(rigging_assessment_report, kept.get()) == report);
    rigging_leg leg;
    rigging_leg_init(&leg, sizeof leg);
    call(rigging_assessment_leg, kept.get(), size_t{3}, &leg);
    CHECK(view(leg.name) == "leg D");
}

// Handles never change, so threads share them; the remedy of the report is sought once, whoever asks first.
void threads(const std::string &text, const rigging_rule_set *rules) {
    const Lift lift = read_lift(text);
    const Assessment shared = assess(lift.get(), rules);
    const std::vector<double> alone = tensions(lift.get());
    struct Own {
        std::vector<double> tensions;
        int32_t verdict = -1;
        std::string report;
    };
    std::vector<Own> own(4);
    std::vector<std::thread> threads;
    for (Own &one : own) {
        threads.emplace_back([&] {
            one.tensions = tensions(lift.get());
            one.verdict = verdict(assess(lift.get(), rules).get());
            one.report = document(rigging_assessment_report, shared.get());
        });
    }
    for (std::thread &thread : threads) thread.join();
    for (const Own &one : own) {
        CHECK(bits(one.tensions) == bits(alone));
        CHECK(one.verdict == verdict(shared.get()));
        CHECK(one.report == own[0].report && !one.report.empty());
    }
}

void exceptions() {
    int32_t code = RIGGING_OK;
    std::string place;
    try {
        read_lift(R"({"format": 1, "name": "x", "gravty": "9.81 m/s2"})");
    } catch (const Failure &failure) {
        code = failure.code;
        place = failure.place;
    }
    CHECK(code == RIGGING_UNKNOWN_KEY && place == "/gravty");
    try {
        built_in("us-generl");
        code = RIGGING_OK;
    } catch (const Failure &failure) {
        code = failure.code;
        CHECK(std::string_view(failure.what()).find("us-general") != std::string_view::npos);
    }
    CHECK(code == RIGGING_UNKNOWN_NAME);
}

}  // namespace

int main(int count, char **arguments) {
    if (count < 3) {
        std::printf("usage: first_light DIRECTORY EXPECTED\n");
        return 1;
    }
    try {
        const RuleSet rules = built_in("us-general");
        const std::vector<Expected> all = read_expected(arguments[2]);
        CHECK(all.size() == 3);
        const std::string directory = std::string(arguments[1]) + "/";
        for (const Expected &expected : all) {
            one_lift(read_file(directory + expected.document), rules.get(), expected);
        }
        threads(read_file(directory + "generator-skid-round-edge.json"), rules.get());
        exceptions();
    } catch (const Failure &failure) {
        std::printf("%s: %s: %s\n", rigging_status_name(failure.code), failure.place.c_str(), failure.what());
        ++failed;
    }
    std::printf("%d passed, %d failed\n", passed, failed);
    return failed == 0 ? 0 : 1;
}
