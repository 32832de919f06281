#!/bin/sh
# Fuzzes each reader of what comes from outside, one after the other; ends with a failure at the first that breaks, and says which
# bytes broke it. What was found interesting is kept in target/fuzz and is where the next run begins.
#
#   run.sh CLASSPATH SECONDS
set -eu
classpath=$1
seconds=$2
for target in instep.fuzz.DescriptorFuzz instep.input.ReportFuzz instep.input.MidiFuzz instep.fuzz.OscFuzz; do
    echo "fuzz: $target, $seconds s"
    mkdir -p "target/fuzz/$target"
    java -cp "$classpath" com.code_intelligence.jazzer.Jazzer "--target_class=$target" "--instrumentation_includes=instep.input.**" \
        --reproducer_path=target/fuzz -artifact_prefix=target/fuzz/ -print_final_stats=1 "-max_total_time=$seconds" "target/fuzz/$target" \
        > "target/fuzz/$target.log" 2>&1 || { tail -40 "target/fuzz/$target.log"; exit 1; }
    grep -E "^Done|number_of_executed" "target/fuzz/$target.log"
done
