#!/bin/sh
# Teaches the reader and its three folds by one recipe, on a graphics card; what is there already is not made again.
#
#   sh tools/teach_readers.sh EXAMPLES.json BASE INTO
#
# First three readers, each without a third of the authors; then those three and the whole again, each told by the first
# three what they think of texts that they have not learned; then the same once more at a lower rate. INTO/lastall is
# the network to export, INTO/*.xz are the folds of readings. FIRST, SECOND and LAST say for how many epochs, where that
# is not 8, 10 and 10. Each training is held up by its processor core, which starts 2,500 small jobs on the card for a step
# (38 ms, with a teacher 71, and more where several run at once): an epoch of all texts takes 25 to 80 s, where the card
# needs 13.
set -eu
examples=$1 base=$2 into=$3
tools=$(dirname "$0")
fold0=q_,o_,w_,d_,x_,j_,v_,c_,wiring,fork,carburettor,bicycle,mill,bodywork,mower,van,outboard,car,restorer,lathe
fold0=$fold0,chainsaw,motorcycle_topend,bench_drill,say0
fold1=p_,n_,u_,m_,e_,i_,y_,b_,g_,say1,say3
fold2=r_,s_,t_,z_,k_,l_,f_,h_,a_,say2,say4
export OMP_NUM_THREADS=1 TOKENIZERS_PARALLELISM=false
mkdir -p "$into"

learn() { # NAME FOLD OPTIONS...
  name=$1$2
  eval "without=\${fold$2:-}"
  shift 2
  [ -f "$into/$name/reader1.pt" ] || python3 "$tools/train_reader.py" "$examples" --base "$base" \
    --into "$into/$name" --without "$without" "$@" >"$into/$name.log" 2>&1
}

taught() { # FOLD
  set -- "$1" --teachers "$into/first0" "$into/first1" "$into/first2"
  learn second "$@" --epochs ${SECOND:-10} --seed 2
  learn last "$@" --epochs ${LAST:-10} --seed 3 --onto "$into/second$1"
}

for fold in 0 1 2; do learn first $fold --epochs ${FIRST:-8} --seed 1$fold & done
wait
taught all &
folds=
for fold in 0 1 2; do
  taught $fold &
  folds="$folds $!"
done
wait $folds

for fold in 0 1 2; do
  eval "only=\$fold$fold"
  for share in 0 1 2 3 4; do
    python3 "$tools/read_left_out.py" "$into/last$fold" "$examples" --base "$base" --only "$only" \
      --into "$into/fold$fold$share.xz" --share "$share/5" &
  done
done
wait
